import { curveOf, sizeAt } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { itemAt } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { SeriesContext, SeriesGuess } from "#distributions/tables/evidence/seriesContext.ts";
import type { Shares } from "#distributions/tables/evidence/shares.ts";
import { oneClass } from "#distributions/tables/saying/refusals.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { EdgeOption } from "#distributions/tables/text/readingOptions.ts";
import { type Core, classesOf, coreOf, edgesToTry } from "./classEdges.ts";
import type { Edges, NoEdges } from "./edges.ts";

/** The distribution under each edge the table leaves open: one where it is known. */
export interface Built {
  readonly options: readonly { readonly edge: EdgeOption; readonly distribution: SizeDistribution }[];
  readonly remarks: readonly Problem[];
  /** What fitting the values to the classes told of their kind and scale. */
  readonly how: readonly SeriesGuess[];
  /** Why an edge one might expect is not among the options. */
  readonly missing: string | null;
}

/** The shares of classes between these edges. */
export type Weigh = (lowerUm: readonly number[], upperUm: readonly number[]) => Shares | Problem;

/** Class values with the edges their sizes stand for. */
export function fromClasses(
  weigh: Weigh,
  context: SeriesContext,
  closing: { below?: number; above?: number },
): Built | Problem {
  const { listsUm } = context.sizes;
  const [lower = [], upper] = listsUm;
  if (context.edge?.value === "both" || upper !== undefined) {
    if (upper === undefined) {
      return problem(
        "refused",
        "Both edges are asked for, but the table has one column of sizes. Name the columns lower and upper, or say which edge the sizes are.",
        { found: "one column of sizes", expected: "two columns of sizes" },
      );
    }
    return build(weigh, { lowerUm: lower, upperUm: upper, supposed: [] }, "both", context);
  }
  const core = coreOf(context, closing);
  const { edges, missing } = edgesToTry(core, context);
  const built: Built[] = [];
  let refused: Problem | null = null;
  for (const edge of edges) {
    const found = classesOf(core, edge);
    if ("why" in found) {
      refused ??= unevenMids(found, weigh, core, context);
      continue;
    }
    const one = build(weigh, found, edge, context);
    if ("message" in one) refused ??= one;
    else built.push(one);
  }
  const [first, ...others] = built;
  if (first === undefined) return refused ?? oneClass(context.sizeCells[0]);
  const options = built.flatMap((one) => one.options);
  return { options, remarks: others.length === 0 ? first.remarks : [], how: first.how, missing };
}

/** Mids that step unevenly: a question that offers what the sizes could be instead. */
function unevenMids(found: NoEdges, weigh: Weigh, core: Core, context: SeriesContext): Problem {
  const choices = (["lower", "upper"] as const).map((edge) => {
    const edges = classesOf(core, edge);
    const built = "why" in edges ? edges : build(weigh, edges, edge, context);
    const distribution = "options" in built ? built.options[0]?.distribution : undefined;
    return {
      option: "edge",
      value: edge,
      d50Um: distribution === undefined ? null : sizeAt(curveOf(distribution), 0.5),
    };
  });
  return {
    ...problem(
      "question",
      `Row ${context.sizeCells[0]?.row ?? "?"}: ${found.why}. Give lower and upper edges, or say that the sizes are edges.`,
      {
        found: "mid sizes with uneven steps",
        expected: found.expected,
      },
    ),
    choices,
  };
}

/** Shares between the sizes of a cumulative curve. */
export function fromCumulative(shares: Shares, context: SeriesContext): Built | Problem {
  const [only = [], upper] = context.sizes.listsUm;
  const at = upper ?? only;
  return build(
    () => shares,
    { lowerUm: at.slice(0, -1), upperUm: at.slice(1), supposed: [] },
    "upper",
    context,
  );
}

/** Puts edges and shares together; a finest class that starts at zero becomes the share below. */
function build(weigh: Weigh, edges: Edges, edge: EdgeOption, context: SeriesContext): Built | Problem {
  const shares = weigh(edges.lowerUm, edges.upperUm);
  if ("severity" in shares) return shares;
  let { lowerUm, upperUm } = edges;
  let classShares = shares.shares;
  let { belowShare, aboveShare } = shares;
  const remarks = [...shares.remarks];
  const { firstEdgeUm, inClass } = context.options;
  const isTopOpen = upperUm.at(-1) === Number.POSITIVE_INFINITY;
  if (isTopOpen || (context.isSieve && edge === "lower")) {
    const top = itemAt(classShares, -1);
    aboveShare += top;
    if (!isTopOpen && top > 0)
      remarks.push(
        problem(
          "note",
          `${figuresText(100 * top)} % lies on the coarsest sieve, ${figuresText(itemAt(lowerUm, -1))} µm: kept as the share above, whose sizes are not known.`,
        ),
      );
    lowerUm = lowerUm.slice(0, -1);
    upperUm = upperUm.slice(0, -1);
    classShares = classShares.slice(0, -1);
  } else remarks.push(...edges.supposed.map((text) => problem("note", `${text}.`)));
  const startsAtZero = lowerUm[0] === 0;
  if (startsAtZero) {
    belowShare += itemAt(classShares, 0);
    lowerUm = lowerUm.slice(1);
    upperUm = upperUm.slice(1);
    classShares = classShares.slice(1);
  }
  if (classShares.length === 0) return oneClass(context.sizeCells[0]);
  const finestUm = itemAt(lowerUm, 0);
  if (startsAtZero && belowShare > 0)
    remarks.push(
      problem(
        "note",
        `The finest class starts at zero: its ${figuresText(100 * belowShare)} % is kept as the share below ${figuresText(finestUm)} µm, whose sizes are not known.`,
        { effect: "percentiles inside it and, above 0.05 %, means are not known" },
      ),
    );
  if (firstEdgeUm !== undefined && belowShare > 0 && firstEdgeUm < finestUm) {
    remarks.push(
      problem(
        "note",
        `The share below is taken as a class from ${figuresText(firstEdgeUm)} to ${figuresText(finestUm)} µm, as asked.`,
      ),
    );
    upperUm = [finestUm, ...upperUm];
    lowerUm = [firstEdgeUm, ...lowerUm];
    classShares = [belowShare, ...classShares];
    belowShare = 0;
  }
  try {
    const distribution = sizeDistribution({
      quantity: context.quantity?.value ?? "volume",
      ...(inClass === undefined ? {} : { inClass }),
      ...(context.measuredAs === null ? {} : { measuredAs: context.measuredAs }),
      lowerUm: context.shared(lowerUm),
      upperUm: context.shared(upperUm),
      shares: classShares,
      belowShare,
      aboveShare,
    });
    return { options: [{ edge, distribution }], remarks, how: shares.how ?? [], missing: null };
  } catch (fault) {
    if (!(fault instanceof DomainError)) throw fault;
    const row = faultRow(fault, lowerUm, context);
    const expected = `${edgeWords[fault.quantity] ?? fault.quantity} ${fault.rule}`;
    return problem(
      "refused",
      `${row === null ? "A class cannot be used" : `Row ${row}`}: ${expected}, but is ${String(fault.value)} (in µm). Correct the sizes in the table.`,
      { row, found: String(fault.value), expected },
    );
  }
}

const edgeWords: Readonly<Record<string, string>> = {
  lowerUm: "the lower edge",
  upperUm: "the upper edge",
  sizeUm: "every size",
};

function faultRow(fault: DomainError, lowerUm: readonly number[], context: SeriesContext): number | null {
  const place = context.sizes.order[lowerUm.indexOf(Number(fault.value))];
  return place === undefined ? null : (context.sizeCells[place]?.row ?? null);
}
