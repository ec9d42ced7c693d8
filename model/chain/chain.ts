import { normalForm } from "#distributions/families/normalForm.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import type { Limits } from "#model/numbers/jointChance.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { drawCount, drawsOf } from "#model/release/draws.ts";
import {
  afterStep,
  carriedThrough,
  type LawOverBefore,
  lawOverBefore,
  type SizeLaw,
  type StepLaw,
} from "./stepLaw.ts";

/** A size after the last step, or any: median and interval in µm. */
export interface ChainedSize {
  readonly median: number;
  readonly low: number;
  readonly high: number;
}

/** What one step adds to the doubt of a size after the last step. */
export interface StepDoubt {
  /** Share of the squared half width of the interval after the last step, 0..1; those of all steps add to 1. */
  readonly share: number;
  /** The part of it that is not known of the law for want of lots, 0..1: more lots make it smaller, the rest they do not. */
  readonly fromFewLots: number;
}

export interface Chain {
  /** A list a step, one size a place. */
  readonly sizesUm: readonly (readonly ChainedSize[])[];
  /** Of one further lot inside all limits after the last step; null where there is no limit. */
  readonly chance: number | null;
  /** The same of each size by itself. */
  readonly chances: readonly (number | null)[];
  /** A step a place, of the size asked about. */
  readonly doubts: readonly StepDoubt[];
}

/**
 * One further lot carried through all steps: each draw takes the sizes before a step into it, and what is not known of
 * the law goes with the draw as the lot's own scatter does.
 *
 * @param laws    first to last
 * @param limits  of each size after the last step, in µm; null where it has none
 * @param of      place of the size whose doubt is shared out among the steps
 * Accuracy: chances to 0.01 (lattice of 4,093 draws). Source: docs/science.md, "chain of steps".
 */
export function chainOf(
  laws: readonly StepLaw[],
  limits: readonly (Limits | null)[],
  { level, of }: { readonly level: number; readonly of: number },
): Chain {
  const sizes = limits.length;
  const draws = drawsOf(laws.length * (sizes + 1), null);
  const before = Array.from({ length: sizes }, () => new Float64Array(drawCount));
  const sizesUm = laws.map((law, step) => {
    carry(law, before, { draws, from: step * (sizes + 1), each: laws.length * (sizes + 1) });
    return before.map((lns) => spreadOf(lns, level));
  });
  const isIn = zip(before, limits).map(([lns, limit]) => insideOf(lns, limit));
  const judged = isIn.flatMap((inside) => inside ?? []);
  const shareOf = (inside: (draw: number) => boolean) => {
    let count = 0;
    for (let draw = 0; draw < drawCount; draw++) if (inside(draw)) count++;
    return count / drawCount;
  };
  return {
    sizesUm,
    chance: judged.length === 0 ? null : shareOf((draw) => judged.every((inside) => inside(draw))),
    chances: isIn.map((inside) => (inside === null ? null : shareOf(inside))),
    doubts: doubtsOf(
      laws.map((law) => itemAt(law.sizes, of)),
      level,
    ),
  };
}

/** All draws through one step, in place. */
function carry(
  law: StepLaw,
  before: readonly Float64Array[],
  { draws, from, each }: { readonly draws: Float64Array; readonly from: number; readonly each: number },
): void {
  const sizes = law.sizes.map((size, s) => ({
    components: lawOverBefore(size),
    // The first step carries nothing on, whatever stands before it.
    middle: size.middleBefore === null ? 0 : size.middleBefore,
    lns: itemAt(before, s),
    triangle: itemAt(law.together, s),
  }));
  for (let draw = 0; draw < drawCount; draw++) {
    const first = draw * each + from;
    const place = normalForm.undersize(itemAt(draws, first));
    for (const [s, { components, middle, lns, triangle }] of sizes.entries()) {
      let deviate = 0;
      for (let j = 0; j <= s; j++) deviate += itemAt(triangle, j) * itemAt(draws, first + 1 + j);
      const { mean, slope, variance, linear, square } = componentAt(components, place);
      const t = itemAt(lns, draw) - middle;
      lns[draw] = mean + slope * t + deviate * Math.sqrt(variance + linear * t + square * t * t);
    }
  }
}

/** The component at a share of their weights, in rising order of scatter. */
function componentAt(components: readonly LawOverBefore[], place: number): LawOverBefore {
  let reached = 0;
  for (const component of components) {
    reached += component.weight;
    if (reached >= place) return component;
  }
  return itemAt(components, -1);
}

function spreadOf(lns: Float64Array, level: number): ChainedSize {
  const rising = lns.toSorted();
  const at = (p: number) => Math.exp(itemAt(rising, Math.round(p * (rising.length - 1))));
  return { median: at(0.5), low: at((1 - level) / 2), high: at((1 + level) / 2) };
}

function insideOf(lns: Float64Array, limit: Limits | null): ((draw: number) => boolean) | null {
  if (limit === null || (limit.low === null && limit.high === null)) return null;
  const low = limit.low === null ? Number.NEGATIVE_INFINITY : Math.log(limit.low);
  const high = limit.high === null ? Number.POSITIVE_INFINITY : Math.log(limit.high);
  return (draw) => {
    const ln = itemAt(lns, draw);
    return ln >= low && ln <= high;
  };
}

/** Each step's half width at the median of the step before, times what the steps after it carry on, squared. */
function doubtsOf(sizes: readonly SizeLaw[], level: number): StepDoubt[] {
  const halfWidth = (mixture: ReturnType<typeof afterStep>) =>
    (mixtureQuantile(mixture, (1 + level) / 2) - mixtureQuantile(mixture, (1 - level) / 2)) / 2;
  let lnBefore = 0;
  const own = sizes.map((size) => {
    const [whole, law] = [afterStep(size, lnBefore), afterStep(size, lnBefore, false)];
    lnBefore = mixtureQuantile(whole, 0.5);
    return { whole: halfWidth(whole) ** 2, law: halfWidth(law) ** 2 };
  });
  const carried = sizes.map((_, i) =>
    sizes.slice(i + 1).reduce((product, later) => product * carriedThrough(later) ** 2, 1),
  );
  const left = zip(own, carried).map(([{ whole }, on]) => whole * on);
  const sum = left.reduce((a, b) => a + b, 0);
  return zip(own, left).map(([{ whole, law }, part]) => ({
    share: part / sum,
    fromFewLots: Math.min(law / whole, 1),
  }));
}
