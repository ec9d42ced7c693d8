import { curveOf, sizeAt } from "../curve.ts";
import { DomainError } from "../domainError.ts";
import { type Measured, measured, type NamedMeasurement, type Quantity, quantities } from "../measured.ts";
import { convert } from "../moments.ts";
import { type Choice, type Problem, problem } from "../problem.ts";
import { type DecimalMark, numberIn } from "./delimited.ts";
import { type Edges, edgesFrom } from "./edges.ts";
import { figuresText } from "./figuresText.ts";
import type { Cell, Series } from "./layout.ts";
import type { EdgeOption, ReadingOptions, ScaleOption, ValuesOption } from "./readingOptions.ts";
import { kindOf, type Shares, scaleOf, sharesOfClasses, sharesOfUndersize } from "./shares.ts";
import type { Sizes } from "./sizes.ts";
import { saysMid } from "./words.ts";

/** What is known of a series before its values are read; null where the table and the options are silent. */
export interface SeriesContext {
  readonly file: string | null;
  readonly name: string;
  readonly sizes: Sizes;
  readonly sizeCells: readonly Cell[];
  readonly mark: DecimalMark;
  readonly sizeHeading: string;
  readonly edge: EdgeOption | null;
  readonly values: ValuesOption | null;
  readonly scale: ScaleOption | null;
  readonly quantity: Quantity | null;
  readonly options: ReadingOptions;
}

type SeriesOption = "edge" | "values" | "scale" | "quantity";

export interface SeriesReading {
  readonly measurement: NamedMeasurement | null;
  readonly problems: readonly Problem[];
  readonly how: readonly {
    option: SeriesOption;
    value: string;
    source: "table" | "assumed";
    evidence: string;
  }[];
}

/** Each series with the name it goes by: its heading, else the file's stem; a repeat gets a number. */
export function nameSeries(
  series: readonly Series[],
  file: string | null,
): { series: Series; name: string }[] {
  const stem = file === null ? "pasted table" : file.replace(/^.*[\\/]/, "").replace(/\.[^.]+$/, "");
  const seen = new Map<string, number>();
  return series.map((one) => {
    const name = one.heading === "" ? stem : one.heading;
    const count = (seen.get(name) ?? 0) + 1;
    seen.set(name, count);
    return { series: one, name: count === 1 ? name : `${name} (${count})` };
  });
}

/** One measurement from its values, all or nothing. */
export function readSeries(series: Series, context: SeriesContext): SeriesReading {
  const at = { file: context.file, measurement: context.name, row: series.at.row, column: series.at.column };
  const stop = (...problems: readonly Problem[]): SeriesReading => ({
    measurement: null,
    problems: problems.map((p) => ({ ...p, file: at.file, measurement: at.measurement })),
    how: [],
  });
  const cells = context.sizes.order.flatMap((i) => series.cells[i] ?? []);
  const values: number[] = [];
  for (const cell of cells) {
    const value = numberIn(cell.text.replace(/\s*%$/, ""), context.mark);
    if (value === null) {
      return stop(
        problem(
          "refused",
          `Row ${cell.row}, column ${cell.column}: ${cell.text === "" ? "the cell is empty" : `"${cell.text}" is no number that can be used`}. Write the share, 0 where nothing was found.`,
          {
            row: cell.row,
            column: cell.column,
            found: cell.text === "" ? "an empty cell" : cell.text,
            expected: "a number",
          },
        ),
      );
    }
    values.push(value);
  }
  const fewest = 2;
  if (values.length < fewest) {
    return stop(
      problem("refused", "One class alone makes no distribution. Bring in the whole table.", {
        row: series.at.row,
        column: series.at.column,
        found: "one class",
        expected: "two classes or more",
      }),
    );
  }
  const kind = context.values ?? kindOf(values);
  if (kind === "density") {
    return stop(
      problem(
        "refused",
        "The values are a density, which Fineband does not read yet. Give shares class by class or cumulative.",
        { found: series.heading, expected: "class, undersize or oversize" },
      ),
    );
  }
  const scale = context.scale ?? scaleOf(values, kind);
  const fractions = values.map((v) => (scale === "percent" ? v / 100 : v));
  const remarks: Problem[] = [];
  if (context.scale === null) {
    remarks.push(
      problem(
        "note",
        `Nothing says per cent or fraction: read as ${scale === "percent" ? "per cent" : "fractions"}, since the values ${kind === "class" ? "add to" : "reach"} ${figuresText(kind === "class" ? values.reduce((a, b) => a + b, 0) : Math.max(...values))}.`,
      ),
    );
  }
  if (context.values === null && kind !== "class") {
    remarks.push(
      problem(
        "note",
        kind === "undersize"
          ? "The values only rise with size: read as undersize."
          : "The values only fall with size: read as oversize and turned round.",
        { effect: kind === "oversize" ? "undersize = whole − value" : null },
      ),
    );
  }
  const shares =
    kind === "class"
      ? sharesOfClasses(fractions, cells)
      : sharesOfUndersize(kind === "undersize" ? fractions : fractions.map((v) => 1 - v), cells);
  if ("severity" in shares) return stop(shares);
  const built = kind === "class" ? fromClasses(shares, context) : fromCumulative(shares, context);
  if ("message" in built) return stop(built);
  const questions = questionsOf(built, context, at, kind);
  const all = [...remarks, ...shares.remarks, ...built.remarks];
  const placed = (problems: readonly Problem[]) =>
    problems.map((p) => ({ ...p, file: at.file, measurement: at.measurement }));
  const how = [
    {
      option: "values" as const,
      value: kind,
      source: "table" as const,
      evidence: context.values === null ? "how the values run" : "a word in the heading or the notes",
    },
    {
      option: "scale" as const,
      value: scale,
      source: context.scale === null ? ("assumed" as const) : ("table" as const),
      evidence:
        context.scale === null ? "what the values add to or reach" : "a word in the heading or the notes",
    },
    ...(kind === "class" && context.edge !== null
      ? [
          {
            option: "edge" as const,
            value: context.edge,
            source: "table" as const,
            evidence: context.edge === "both" ? "two columns of sizes" : "a word in the heading",
          },
        ]
      : []),
    ...(context.quantity === null
      ? []
      : [
          {
            option: "quantity" as const,
            value: context.quantity,
            source: "table" as const,
            evidence: "a word in the heading or the notes",
          },
        ]),
  ];
  if (questions.length > 0)
    return {
      measurement: null,
      problems: [...placed(all.filter((p) => p.severity !== "note")), ...questions],
      how,
    };
  const [distribution] = built.options;
  if (distribution === undefined)
    return stop(problem("refused", "No distribution could be made of the table."));
  return {
    measurement: { file: context.file, name: context.name, distribution: distribution.distribution },
    problems: placed(all),
    how,
  };
}

/** The distribution under each edge the table leaves open: one where it is known. */
interface Built {
  readonly options: readonly { readonly edge: EdgeOption; readonly distribution: Measured }[];
  readonly remarks: readonly Problem[];
}

function fromClasses(shares: Shares, context: SeriesContext): Built | Problem {
  const { listsUm } = context.sizes;
  const [lower = [], upper] = listsUm;
  if (context.edge === "both" || upper !== undefined) {
    if (upper === undefined) {
      return problem(
        "refused",
        "Both edges are asked for, but the table has one column of sizes. Name the columns lower and upper, or say which edge the sizes are.",
        { found: "one column of sizes", expected: "two columns of sizes" },
      );
    }
    return build(shares, { lowerUm: lower, upperUm: upper, supposed: [] }, "both", context);
  }
  const edges: EdgeOption[] =
    context.edge === null
      ? saysMid(context.sizeHeading)
        ? ["geometric-mid", "arithmetic-mid"]
        : ["lower", "upper"]
      : [context.edge];
  const options: { edge: EdgeOption; distribution: Measured }[] = [];
  const remarks: Problem[] = [];
  for (const edge of edges) {
    if (edge === "both") continue;
    const found = edgesFrom(lower, edge, context.options.firstEdgeUm);
    if ("why" in found) {
      return {
        ...problem(
          "question",
          `Row ${context.sizeCells[0]?.row ?? "?"}: ${found.why}. Give lower and upper edges, or say that the sizes are edges.`,
          { found: "mid sizes with uneven steps", expected: found.expected },
        ),
        choices: edgeChoices(shares, lower, context),
      };
    }
    const one = build(shares, found, edge, context);
    if ("message" in one) return one;
    options.push(...one.options);
    if (edges.length === 1) remarks.push(...one.remarks);
  }
  return { options, remarks };
}

function edgeChoices(shares: Shares, sizesUm: readonly number[], context: SeriesContext): Choice[] {
  return (["lower", "upper"] as const).map((edge) => {
    const found = edgesFrom(sizesUm, edge, context.options.firstEdgeUm);
    const built = "why" in found ? found : build(shares, found, edge, context);
    const distribution = "options" in built ? built.options[0]?.distribution : undefined;
    return {
      option: "edge",
      value: edge,
      d50Um: distribution === undefined ? null : sizeAt(curveOf(distribution), 0.5),
    };
  });
}

function fromCumulative(shares: Shares, context: SeriesContext): Built | Problem {
  const [only = [], upper] = context.sizes.listsUm;
  const at = upper ?? only;
  return build(shares, { lowerUm: at.slice(0, -1), upperUm: at.slice(1), supposed: [] }, "upper", context);
}

/** Puts edges and shares together; a finest class that starts at zero becomes the share below. */
function build(shares: Shares, edges: Edges, edge: EdgeOption, context: SeriesContext): Built | Problem {
  let lowerUm = [...edges.lowerUm];
  let upperUm = [...edges.upperUm];
  let classShares = [...shares.shares];
  let { belowShare, aboveShare } = shares;
  if (upperUm.at(-1) === Number.POSITIVE_INFINITY) {
    aboveShare += classShares.at(-1) ?? 0;
    lowerUm = lowerUm.slice(0, -1);
    upperUm = upperUm.slice(0, -1);
    classShares = classShares.slice(0, -1);
  }
  const remarks = edges.supposed.map((text) => problem("note", `${text}.`));
  const { firstEdgeUm, inClass } = context.options;
  if (lowerUm[0] === 0) {
    const [first = 0, ...rest] = classShares;
    belowShare += first;
    lowerUm = lowerUm.slice(1);
    upperUm = upperUm.slice(1);
    classShares = rest;
    if (belowShare > 0) {
      remarks.push(
        problem(
          "note",
          `The finest class starts at zero: its ${figuresText(100 * belowShare)} % is kept as the share below ${figuresText(lowerUm[0] ?? 0)} µm, whose sizes are not known.`,
          { effect: "percentiles inside it and, above 0.05 %, means are not known" },
        ),
      );
    }
  }
  if (firstEdgeUm !== undefined && belowShare > 0 && firstEdgeUm < (lowerUm[0] ?? 0)) {
    remarks.push(
      problem(
        "note",
        `The share below is taken as a class from ${figuresText(firstEdgeUm)} to ${figuresText(lowerUm[0] ?? 0)} µm, as asked.`,
      ),
    );
    upperUm = [lowerUm[0] ?? 0, ...upperUm];
    lowerUm = [firstEdgeUm, ...lowerUm];
    classShares = [belowShare, ...classShares];
    belowShare = 0;
  }
  if (classShares.length === 0)
    return problem("refused", "One class alone makes no distribution. Bring in the whole table.", {
      found: "one class",
      expected: "two classes or more",
    });
  try {
    const distribution = measured({
      quantity: context.quantity ?? "volume",
      ...(inClass === undefined ? {} : { inClass }),
      lowerUm,
      upperUm,
      shares: classShares,
      belowShare,
      aboveShare,
    });
    return { options: [{ edge, distribution }], remarks };
  } catch (fault) {
    if (!(fault instanceof DomainError)) throw fault;
    const row = faultRow(fault, lowerUm, context);
    return problem(
      "refused",
      `${row === null ? "" : `Row ${row}: `}${fault.message}. Correct the sizes in the table.`,
      { row, found: String(fault.value), expected: `${fault.quantity} ${fault.rule}` },
    );
  }
}

function faultRow(fault: DomainError, lowerUm: readonly number[], context: SeriesContext): number | null {
  const i = lowerUm.indexOf(Number(fault.value));
  return i < 0 ? null : (context.sizeCells[context.sizes.order[i] ?? 0]?.row ?? null);
}

function questionsOf(
  built: Built,
  context: SeriesContext,
  at: { file: string | null; measurement: string; row: number | null; column: number | null },
  kind: ValuesOption,
): Problem[] {
  const questions: Problem[] = [];
  if (kind === "class" && built.options.length > 1) {
    const choices = built.options.map(({ edge, distribution }) => ({
      option: "edge",
      value: edge,
      d50Um: sizeAt(curveOf(distribution), 0.5),
    }));
    questions.push(
      question(
        saysMid(context.sizeHeading)
          ? "The sizes are mids: geometric or arithmetic? Say which."
          : "Each size can be the lower or the upper edge of its class. Say which.",
        choices,
        at,
        context.sizeHeading,
      ),
    );
  }
  if (context.quantity === null) {
    const base = built.options.at(-1)?.distribution;
    const choices = quantities.map((quantity) => ({
      option: "quantity",
      value: quantity,
      d50Um: base === undefined ? null : volumeD50(base, quantity),
    }));
    questions.push(
      question(
        "The table does not say what its shares count: number, length, surface or volume. Say which; the D50 given is by volume.",
        choices,
        at,
        context.sizeHeading,
      ),
    );
  }
  return questions;
}

/** The median by volume if the shares were of this quantity. */
function volumeD50(m: Measured, quantity: Quantity): number | null {
  const volume = convert({ ...m, quantity, measuredAs: quantity }, "volume");
  return volume === null ? null : sizeAt(curveOf(volume), 0.5);
}

function question(
  message: string,
  choices: readonly Choice[],
  at: { file: string | null; measurement: string; row: number | null; column: number | null },
  heading: string,
): Problem {
  const effect = choices
    .map((c) => `${c.value}: D50 ${c.d50Um === null ? "not known" : `${figuresText(c.d50Um)} µm`}`)
    .join("; ");
  return problem("question", message, {
    ...at,
    found: heading === "" ? "no heading" : heading,
    expected: choices.map((c) => c.value).join(", "),
    effect,
    choices,
  });
}
