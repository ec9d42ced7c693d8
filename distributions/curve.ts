import { DomainError } from "./domainError.ts";
import { edgesOfClasses, sizeOn, undersizeOn } from "./kernels/curveSteps.ts";
import { areOneGrid, largestGap, weightedSums } from "./kernels/oneGrid.ts";
import { itemAt, maxOf, zip } from "./lists.ts";
import { orderShift, type SizeDistribution } from "./sizeDistribution.ts";

/**
 * The undersize curve Q(x): exact at the edges, and between two edges rising as x^power
 * (power 0: straight in ln x). Outside the edges it stays level at its end values.
 */
export interface Curve {
  /** N+1 rising sizes. */
  readonly edgesUm: readonly number[];
  /** Share finer than each edge, never falling. */
  readonly undersize: readonly number[];
  readonly power: number;
}

/**
 * The undersize curve of a distribution.
 * Where two classes do not quite meet, the edge is the geometric mean of theirs.
 * A log-uniform class rises straight in ln x, a uniform one straight in x; after a change of quantity
 * by k orders the slope is weighted by x^k. Source: ISO 9276-1; docs/science.md.
 */
export function curveOf(m: SizeDistribution): Curve {
  const { edgesUm, undersize } = edgesOfClasses(m);
  return { edgesUm, undersize, power: slopePower(m) };
}

function slopePower(m: SizeDistribution): number {
  if (m.inClass === "log-uniform") return orderShift(m);
  if (m.inClass === "uniform") return orderShift(m) + 1;
  return 0;
}

/** Share finer than a size; level beyond the ends. */
export function undersizeAt(curve: Curve, sizeUm: number): number {
  return undersizeOn(curve, sizeUm);
}

/** Share finer than a size, or null where the size lies beyond the edges and the share there is not known. */
export function knownUndersizeAt(curve: Curve, sizeUm: number): number | null {
  const q = undersizeAt(curve, sizeUm);
  if (sizeUm < itemAt(curve.edgesUm, 0)) return q === 0 ? 0 : null;
  if (sizeUm > itemAt(curve.edgesUm, -1)) return q === 1 ? 1 : null;
  return q;
}

/**
 * The size that a fraction of the whole is finer than; where the curve is level there, the geometric middle of the stretch.
 *
 * @param fraction  0 … 1
 * @returns         micrometres, or null where the fraction lies in the share outside the edges
 * @throws          DomainError for a fraction outside 0 … 1
 * Source: ISO 9276-1; linear in ln x inside a class (power 0).
 */
export function sizeAt(curve: Curve, fraction: number): number | null {
  if (!(fraction >= 0 && fraction <= 1)) throw new DomainError("fraction", "must lie in 0 … 1", fraction);
  const level = levelStretchAt(curve, fraction);
  return level === null ? sizeOn(curve, fraction) : Math.sqrt(level.fromUm * level.toUm);
}

/** Two shares this near are one: a table stated as undersize, oversize or classes must not tell them apart. */
const sameShare = 1e-9;

/** The sizes between which a curve is level at a fraction, so that each of them would do; null where there is but one. */
export function levelStretchAt(
  { edgesUm, undersize }: Curve,
  fraction: number,
): { readonly fromUm: number; readonly toUm: number } | null {
  if (fraction <= sameShare || fraction >= 1 - sameShare) return null;
  const first = lastBelow(undersize, fraction - sameShare) + 1;
  const last = lastBelow(undersize, fraction + sameShare);
  return last > first ? { fromUm: itemAt(edgesUm, first), toUm: itemAt(edgesUm, last) } : null;
}

/** The last place whose value is below a limit, of values that never fall; −1 for none. */
function lastBelow(values: readonly number[], limit: number): number {
  let low = -1;
  let high = values.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (itemAt(values, middle) < limit) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * The mean curve of several: Q averaged at every edge any of them has.
 * Exact where all rise straight in ln x, which is the default in-class rule.
 *
 * @throws DomainError for no curves
 */
export function meanCurve(curves: readonly Curve[]): Curve {
  const [only, second] = curves;
  if (only === undefined) throw new DomainError("curves", "must hold at least one", 0);
  if (second === undefined) return only;
  const edgesUm = unionOfEdges(curves);
  const sums = undersizeSums(
    curves,
    curves.map(() => 1),
    edgesUm,
  );
  const powers = new Set(curves.map((c) => c.power));
  return {
    edgesUm,
    undersize: sums.map((sum) => sum / curves.length),
    power: powers.size === 1 ? only.power : 0,
  };
}

/** Σ weight · Q at every edge that any of the curves has. @param edgesUm  their union */
export function undersizeSums(
  curves: readonly Curve[],
  weights: readonly number[],
  edgesUm: readonly number[],
): number[] {
  // Runs of one instrument share their classes.
  if (areOneGrid(curves.map((c) => c.edgesUm)))
    return weightedSums(
      curves.map((c) => c.undersize),
      weights,
    );
  const parts = zip(curves, weights);
  return edgesUm.map((x) => parts.reduce((sum, [c, weight]) => sum + weight * undersizeAt(c, x), 0));
}

/** The largest distance of two curves in share, at any edge of either. */
export function largestDistance(a: Curve, b: Curve): number {
  if (areOneGrid([a.edgesUm, b.edgesUm])) return largestGap(a.undersize, b.undersize);
  return maxOf(unionOfEdges([a, b]).map((x) => Math.abs(undersizeAt(a, x) - undersizeAt(b, x))));
}

/** Every edge that any of the curves has, once, rising. */
export function unionOfEdges(curves: readonly Curve[]): number[] {
  const [first] = curves;
  if (first !== undefined && areOneGrid(curves.map((c) => c.edgesUm))) return [...first.edgesUm];
  const all = curves.flatMap((c) => c.edgesUm).sort((a, b) => a - b);
  return all.filter((x, i) => i === 0 || x !== all[i - 1]);
}

/** The same curve with every size multiplied: a shift in ln x. @throws DomainError  a factor that is not positive */
export function shifted(curve: Curve, factor: number): Curve {
  if (!(factor > 0 && Number.isFinite(factor))) throw new DomainError("factor", "must be positive", factor);
  return { ...curve, edgesUm: curve.edgesUm.map((x) => x * factor) };
}
