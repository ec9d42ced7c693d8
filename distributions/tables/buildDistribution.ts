import { curveOf, sizeAt } from "../curve.ts";
import { DomainError } from "../domainError.ts";
import { type Measured, measured } from "../measured.ts";
import { type Choice, type Problem, problem } from "../problem.ts";
import { type Edges, edgesFrom } from "./edges.ts";
import { figuresText } from "./figuresText.ts";
import type { EdgeOption } from "./readingOptions.ts";
import type { SeriesContext } from "./seriesContext.ts";
import type { Shares } from "./shares.ts";
import { saysMid } from "./words.ts";

/** The distribution under each edge the table leaves open: one where it is known. */
export interface Built {
  readonly options: readonly { readonly edge: EdgeOption; readonly distribution: Measured }[];
  readonly remarks: readonly Problem[];
}

/** Class shares with the edges their sizes stand for. */
export function fromClasses(shares: Shares, context: SeriesContext): Built | Problem {
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

/** Shares between the sizes of a cumulative curve. */
export function fromCumulative(shares: Shares, context: SeriesContext): Built | Problem {
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
