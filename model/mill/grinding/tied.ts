import { type Curve, sizeAt } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import type { Separation } from "#model/mill/separation/separation.ts";
import type { OneExponent } from "./breakage.ts";
import { type CircuitResult, solveOn } from "./circuit.ts";
import { feedByClass } from "./feed.ts";
import { fallingGrid, type Kernel, kernelOf } from "./kernel.ts";

/** What gives a circuit's product its shape once its median is known. */
export interface CircuitShape {
  /** κ of the wheel's log-logistic separation. */
  readonly sharpness: number;
  readonly fragmentKind: OneExponent;
  /** Of z, the size of a fragment over its piece's. */
  readonly fragmentExponent: number;
  /** Breakage rate over the wheel's offer rate: at 1 µm, whatever the cut, or at the cut itself (U). */
  readonly load: { readonly at: "1 µm" | "cut"; readonly value: number };
  /** Of the breakage rate with size. */
  readonly rateExponent: number;
}

/** A circuit's classes and fragments, built once for a feed; a fit and a speed sweep use them again. */
export interface TiedKernel {
  readonly kernel: Kernel;
  /** The feed on its classes. */
  readonly feedShares: Float64Array;
}

/**
 * @param finestUm  the finest median that will be asked for: classes reach far below it
 */
export function tiedKernel(
  feed: Curve,
  shape: Pick<CircuitShape, "fragmentKind" | "fragmentExponent" | "rateExponent">,
  finestUm: number,
  classesPerOctave: number,
): TiedKernel {
  const topUm = 1.2 * itemAt(feed.edgesUm, -1);
  const octaves = Math.log2(topUm / finestUm) + 9;
  const grid = fallingGrid(topUm, 2 ** (1 / classesPerOctave), Math.ceil(octaves * classesPerOctave));
  const kernel = kernelOf(
    grid,
    { at1UmPerS: 1, exponent: shape.rateExponent, grindingLimitUm: 0 },
    { kind: shape.fragmentKind, exponent: shape.fragmentExponent },
  );
  return { kernel, feedShares: feedByClass(feed, grid) };
}

export type TiedProduct = Extract<CircuitResult, { stuckAtUm: null }> & {
  readonly separation: Separation;
  /** Breakage rate at the cut over the wheel's offer rate: U. */
  readonly load: number;
  /** Mean residence in turns of the wheel's offer, 1/k_c. */
  readonly residence: number;
};

function loadAt1UmOf({ load, rateExponent }: CircuitShape, cutUm: number): number {
  return load.at === "1 µm" ? load.value : load.value / cutUm ** rateExponent;
}

/** Steps of the search for the cut. */
const mostSteps = 60;

/**
 * The circuit whose product has a given median: the cut is sought, the shape stays. Times come in units of 1/k_c.
 *
 * @returns null where no cut gives that median, since the feed itself is nearly that fine
 * Accuracy: D50 to 1e-9 by secant and bisection in ln cut.
 */
export function productTied(of: TiedKernel, shape: CircuitShape, d50Um: number): TiedProduct | null {
  const wanted = Math.log(d50Um);
  const at = (lnCut: number) => {
    const separation: Separation = {
      kind: "log-logistic",
      cutUm: Math.exp(lnCut),
      sharpness: shape.sharpness,
      bypassShare: 0,
      leakShare: 0,
    };
    const loadAt1Um = loadAt1UmOf(shape, separation.cutUm);
    // Rates in units of the breakage at 1 µm, so that one kernel serves every load.
    const solved = solveOn(of.kernel, of.feedShares, separation, 1 / loadAt1Um);
    const d50 = solved.stuckAtUm === null ? sizeAt(solved.productCurve, 0.5) : null;
    return { separation, loadAt1Um, solved, excess: d50 === null ? null : Math.log(d50) - wanted };
  };
  let low = wanted - 0.5;
  let high = wanted + 1;
  let below = at(low).excess;
  for (let i = 0; i < 8 && (below === null || below > 0); i++) {
    low -= 1;
    below = at(low).excess;
  }
  let above = at(high).excess;
  for (let i = 0; i < 8 && (above === null || above < 0); i++) {
    high += 1;
    above = at(high).excess;
  }
  if (below === null || above === null || below > 0 || above < 0) return null;
  let last = { at: low, excess: below };
  let now = { at: high, excess: above };
  for (let step = 0; step < mostSteps; step++) {
    // The secant through the last two places while it stays inside the bracket and is quick; else the middle.
    const secant = now.at - (now.excess * (now.at - last.at)) / (now.excess - last.excess);
    const isUsable = step < mostSteps / 4 && secant > low && secant < high;
    const middle = isUsable ? secant : (low + high) / 2;
    const { separation, loadAt1Um, solved, excess } = at(middle);
    if (excess === null || solved.stuckAtUm !== null) return null;
    if (Math.abs(excess) < 1e-9 || high - low < 1e-10) {
      return {
        ...solved,
        separation,
        load: loadAt1Um * separation.cutUm ** shape.rateExponent,
        residence: solved.meanResidenceS / loadAt1Um,
      };
    }
    last = now;
    now = { at: middle, excess };
    if (excess > 0) high = middle;
    else low = middle;
  }
  return null;
}
