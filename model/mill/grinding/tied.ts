import type { Curve } from "#distributions/curve.ts";
import { itemAt, threeOf } from "#distributions/lists.ts";
import { type Separation, steepness } from "#model/mill/separation/separation.ts";
import type { OneExponent } from "./breakage.ts";
import { type CircuitResult, solveOn } from "./circuit.ts";
import { feedByClass } from "./feed.ts";
import { fallingGrid, gaussPlaces, type Kernel, kernelOf } from "./kernel.ts";
import { lnMedianOfFalling } from "./kernels/balance.ts";
import { passingSlopes, productSlopes, undersizeSlope } from "./kernels/tiedSlopes.ts";
import { passingByClass, steadyState } from "./steady.ts";

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

/** How far from a cut that is nearly right the search begins, in ln. */
const nearby = 0.01;

/**
 * The circuit whose product has a given median: the cut is sought, the shape stays. Times come in units of 1/k_c.
 *
 * @param nearUm  a cut that is nearly right, where one is known: that of a shape a little different
 * @returns       null where no cut gives that median, since the feed itself is nearly that fine
 * Accuracy: D50 to 1e-9 by secant and bisection in ln cut.
 */
export function productTied(
  of: TiedKernel,
  shape: CircuitShape,
  d50Um: number,
  nearUm: number | null = null,
): TiedProduct | null {
  const wanted = Math.log(d50Um);
  const { grid } = of.kernel;
  const [lnTop, lnRatio] = [Math.log(itemAt(grid.edgesUm, 0)), Math.log(grid.ratio)];
  const excessAt = (lnCut: number): number | null => {
    const { separation, offer } = wheelAt(shape, lnCut);
    const solved = steadyState(of.kernel, of.feedShares, offer, passingByClass(grid, separation));
    const ln = "stuckClass" in solved ? null : lnMedianOfFalling(solved.product, lnTop, lnRatio);
    return ln === null ? null : ln - wanted;
  };
  const lnNear = nearUm === null ? null : Math.log(nearUm);
  let low = lnNear === null ? wanted - 0.5 : lnNear - nearby;
  let high = lnNear === null ? wanted + 1 : lnNear + nearby;
  let below = excessAt(low);
  for (let i = 0; i < 8 && (below === null || below > 0); i++) {
    low -= 1;
    below = excessAt(low);
  }
  let above = excessAt(high);
  for (let i = 0; i < 8 && (above === null || above < 0); i++) {
    high += 1;
    above = excessAt(high);
  }
  if (below === null || above === null || below > 0 || above < 0) return null;
  let last = { at: low, excess: below };
  let now = { at: high, excess: above };
  for (let step = 0; step < mostSteps; step++) {
    // The secant through the last two places while it stays inside the bracket and is quick; else the middle.
    const secant = now.at - (now.excess * (now.at - last.at)) / (now.excess - last.excess);
    const isUsable = step < mostSteps / 4 && secant > low && secant < high;
    const middle = isUsable ? secant : (low + high) / 2;
    const excess = excessAt(middle);
    if (excess === null) return null;
    if (Math.abs(excess) < 1e-9 || high - low < 1e-10) return productAtCut(of, shape, middle);
    last = now;
    now = { at: middle, excess };
    if (excess > 0) high = middle;
    else low = middle;
  }
  return null;
}

/** The wheel at a cut, and how often it is offered what is held, in rates of the breakage at 1 µm: one kernel serves every load. */
function wheelAt(shape: CircuitShape, lnCut: number): { separation: Separation; offer: number } {
  const cutUm = Math.exp(lnCut);
  return {
    separation: { kind: "log-logistic", cutUm, sharpness: shape.sharpness, bypassShare: 0, leakShare: 0 },
    offer: 1 / loadAt1UmOf(shape, cutUm),
  };
}

/** @returns null where powder is stuck */
function productAtCut(of: TiedKernel, shape: CircuitShape, lnCut: number): TiedProduct | null {
  const { separation, offer } = wheelAt(shape, lnCut);
  const solved = solveOn(of.kernel, of.feedShares, separation, offer);
  return solved.stuckAtUm !== null
    ? null
    : {
        ...solved,
        separation,
        load: separation.cutUm ** shape.rateExponent / offer,
        residence: solved.meanResidenceS * offer,
      };
}

/**
 * Derivatives of the product's undersize at sizes by logit sharpness, ln fragment exponent and ln load at the cut, while the
 * cut goes along so that the median stays: dQ/dp = ∂Q/∂p − ∂Q/∂c · (∂Q/∂p)/(∂Q/∂c at the median), by the implicit function
 * theorem.
 *
 * @param product  of this shape, from `productTied`
 * @returns        null where the fragments are no power of z, or no cut moves the median
 */
export function tiedSlopes(
  { kernel, feedShares }: TiedKernel,
  shape: CircuitShape,
  { separation, medianUm }: { readonly separation: Separation; readonly medianUm: number },
): ((sizeUm: number) => readonly [number, number, number]) | null {
  const { grid, losing, powers } = kernel;
  const [power, ...more] = powers ?? [];
  if (power === undefined || more.length > 0) return null;
  const [lnTop, lnRatio] = [Math.log(itemAt(grid.edgesUm, 0)), Math.log(grid.ratio)];
  const lnCut = Math.log(separation.cutUm);
  const steep = steepness("log-logistic", shape.sharpness);
  const wheel = {
    topLn: lnTop - lnCut,
    widthLn: lnRatio,
    classes: losing.length,
    steepness: steep,
    steepnessByLogit: (steep * steep * (1 - shape.sharpness)) / Math.log(9),
  };
  const slopes = productSlopes({
    feed: feedShares,
    rate: losing,
    lnRateByLnExponent: lnRateSlope(shape, lnRatio),
    decay: power.decay,
    decayByLnExponent: -shape.fragmentExponent * lnRatio * power.decay,
    offer: wheelAt(shape, lnCut).offer,
    passing: passingByClass(grid, separation),
    passingBy: passingSlopes(wheel, gaussPlaces.places, gaussPlaces.weights),
    rateExponent: shape.rateExponent,
  });
  const at = (lnSize: number) => threeAndCut(slopes.map((by) => undersizeSlope(by, lnTop, lnRatio, lnSize)));
  const median = at(Math.log(medianUm));
  if (median.byCut === 0) return null;
  return (sizeUm) => {
    const { three, byCut } = at(Math.log(sizeUm));
    const tied = (k: 0 | 1 | 2) => three[k] - (byCut * median.three[k]) / median.byCut;
    return [tied(0), tied(1), tied(2)];
  };
}

function threeAndCut(slopes: readonly number[]) {
  const three: readonly [number, number, number] = threeOf(slopes.slice(0, 3));
  return { three, byCut: itemAt(slopes, 3) };
}

/** Of the mean over a class of y^α·(e/y)^n by ln n, over that mean: the same in every class, whose sizes are geometric. */
function lnRateSlope({ rateExponent, fragmentExponent }: CircuitShape, lnRatio: number): number {
  let [sum, moved] = [0, 0];
  for (const [g, place] of gaussPlaces.places.entries()) {
    const part =
      itemAt(gaussPlaces.weights, g) * Math.exp((rateExponent - fragmentExponent) * place * lnRatio);
    sum += part;
    moved -= part * fragmentExponent * place * lnRatio;
  }
  return moved / sum;
}
