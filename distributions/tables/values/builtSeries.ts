import { itemAt } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { isDensity } from "#distributions/tables/evidence/density.ts";
import type { Known, SeriesContext, SeriesNotes } from "#distributions/tables/evidence/seriesContext.ts";
import { amountDoubt, scaleDoubt, scaleGuess } from "#distributions/tables/evidence/seriesScale.ts";
import {
  type Shares,
  sameColumn,
  sameRow,
  scaleOf,
  sharesOfAmounts,
  sharesOfClasses,
  sharesOfUndersize,
} from "#distributions/tables/evidence/shares.ts";
import { addsToWhole } from "#distributions/tables/layout/wholes.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { EdgeOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import { wholeOf } from "#distributions/tables/text/wholeOfScale.ts";
import { type Built, fromClasses, fromCumulative, type Weigh } from "./buildDistribution.ts";
import { weighDensity } from "./densitySeries.ts";
import type { Closing, SeriesValues } from "./seriesValues.ts";

interface BuiltSeries {
  readonly built: Built | Problem;
  readonly entered: SeriesNotes;
}

/** Shares, then edges: what the values make of the sizes. */
export function builtFrom(read: SeriesValues, kind: ValuesOption, context: SeriesContext): BuiltSeries {
  const { values, closing } = read;
  const { known, entered } = closed(context, closing);
  if (isDensity(kind))
    return { built: fromClasses(weighDensity(values, read.cells, [kind], known), known, closing), entered };
  // A word for counts says what is counted; cumulative values that end at 100 are per cent all the same.
  const isEndedShare =
    kind !== "class" &&
    context.scale?.value === "amount" &&
    context.scale.source === "table" &&
    Math.max(...values) <= 100.6;
  // "Fraction" means a share in many a heading; values that make 100 are per cent.
  const isHundred =
    context.scale?.value === "fraction" &&
    context.scale.source === "table" &&
    Math.abs((kind === "class" ? values.reduce((a, b) => a + b, 0) : Math.max(...values)) / 100 - 1) <= 0.01;
  const scale =
    isEndedShare || isHundred ? scaleOf(values, kind) : (context.scale?.value ?? scaleOf(values, kind));
  const unsure = scaleDoubt(values, kind, context);
  if (unsure !== null) return { built: unsure, entered };
  const scaled = scaleGuess(values, scale, kind, context);
  const withScale: SeriesNotes = {
    how: [...entered.how, ...scaled.how],
    remarks: [...entered.remarks, ...scaled.remarks],
  };
  const fractions = values.map((v) => v / wholeOf[scale]);
  if (kind === "class") {
    // The same under every edge that is tried.
    let once: Shares | Problem | null = null;
    const shares: Weigh = () => {
      once ??=
        scale === "amount"
          ? sharesOfAmounts(values, read.cells)
          : sharesOfClasses(fractions, read, context.options.sum);
      return once;
    };
    if (
      context.values === null &&
      context.scale?.value !== "amount" &&
      context.options.sum === undefined &&
      !addsToWhole(fractions)
    ) {
      const asDensity = fromClasses(weighDensity(values, read.cells, null, known), known, closing);
      // Counts are whole, and may happen to make a whole as a density.
      const areCounts = values.every((v) => Number.isInteger(v)) && Math.max(...values) > 1;
      if (!areCounts && !("severity" in asDensity) && !isAsShares(asDensity, values))
        return { built: maybeDensity(asDensity, values, read, context.scale === null), entered };
      if (!areCounts && "severity" in asDensity && asDensity.severity === "question")
        return { built: asDensity, entered };
    }
    const amounts = context.scale === null ? amountDoubt(values, read) : null;
    if (amounts !== null) return { built: amounts, entered };
    return { built: fromClasses(shares, known, closing), entered: withScale };
  }
  const whole = scale === "amount" ? Math.max(...values) : 1;
  const rising = fractions.map((v) => (kind === "undersize" ? v / whole : 1 - v / whole));
  const undersize = sharesOfUndersize(rising, read);
  const built = "severity" in undersize ? undersize : fromCumulative(undersize, context);
  return { built, entered: withScale };
}

/** Whether the values come to the same as shares, as where classes are one µm wide. */
function isAsShares({ options: [first] }: Built, values: readonly number[]): boolean {
  const sum = values.reduce((a, b) => a + b, 0);
  const shares = first?.distribution.shares ?? [];
  return (
    shares.length === values.length &&
    shares.every((v, i) => Math.abs(v - itemAt(values, i) / sum) <= sameShare)
  );
}
const sameShare = 0.002;

/** Values that no word calls a density and that make a whole as one: asked, since amounts do so by chance. */
function maybeDensity(
  { how }: Built,
  values: readonly number[],
  { cells }: SeriesValues,
  mayBeAmounts: boolean,
): Problem {
  const total = values.reduce((a, b) => a + b, 0);
  const kind = how.find((guess) => guess.option === "values");
  const sum = figuresText(total);
  const evidence = kind?.evidence ?? "";
  const isNear = [1, 100].some((whole) => Math.abs(total / whole - 1) <= nearWhole + 1e-9);
  const other = isNear
    ? ", or shares of classes, to be divided by their sum"
    : mayBeAmounts
      ? ", or counts or masses, to be divided by their total"
      : "";
  return {
    ...problem(
      "question",
      `The values add to ${sum}, neither 1 nor 100; ${evidence}, as a density does. Say whether they are that density${other}; if classes were left out, bring the whole table in.`,
      {
        column: sameColumn(cells),
        row: sameRow(cells),
        found: `a sum of ${sum}`,
        expected: `a density${other}`,
      },
    ),
    choices: [
      { option: "values", value: kind?.value ?? "density", d50Um: null },
      ...(isNear
        ? [{ option: "sum", value: "divide", d50Um: null }]
        : mayBeAmounts
          ? [{ option: "scale", value: "amount", d50Um: null }]
          : []),
    ],
  };
}

/** Sums nearer than this to a whole can be shares that miss it. */
const nearWhole = 0.01;

const noNotes: SeriesNotes = { how: [], remarks: [] };

/** With a size that only closes a class, the others can only be the edges on its other side. */
function closed(context: SeriesContext, closing: Closing): { known: SeriesContext; entered: SeriesNotes } {
  const closingUm = closing.above ?? closing.below;
  if (closingUm === undefined) return { known: context, entered: noNotes };
  const [list = []] = context.sizes.listsUm;
  const isTop = closing.above !== undefined;
  const um = figuresText(closingUm);
  const edge: Known<EdgeOption> = {
    value: isTop ? "lower" : "upper",
    source: "table",
    evidence: `${um} µm stands without a value at the ${isTop ? "coarse" : "fine"} end`,
  };
  const known = {
    ...context,
    edge: context.edge ?? edge,
    sizes: {
      ...context.sizes,
      listsUm: [isTop ? list.slice(0, -1) : list.slice(1)],
      order: isTop ? context.sizes.order.slice(0, -1) : context.sizes.order.slice(1),
    },
  };
  if (context.edge !== null) return { known, entered: noNotes };
  return {
    known,
    entered: {
      how: [{ option: "edge", ...edge }],
      remarks: [
        problem(
          "note",
          `${um} µm has no value: it closes the ${isTop ? "coarsest" : "finest"} class, so the sizes are ${edge.value} edges.`,
        ),
      ],
    },
  };
}
