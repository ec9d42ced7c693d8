import type { NamedMeasurement } from "../measured.ts";
import { type Problem, problem } from "../problem.ts";
import { fromClasses, fromCumulative } from "./buildDistribution.ts";
import { numberIn } from "./delimited.ts";
import { figuresText } from "./figuresText.ts";
import type { Series } from "./layout.ts";
import { questionsOf } from "./questions.ts";
import type { SeriesContext } from "./seriesContext.ts";
import { kindOf, scaleOf, sharesOfClasses, sharesOfUndersize } from "./shares.ts";

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
