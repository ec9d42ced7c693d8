import { DomainError } from "./domainError.ts";
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

const lastBits = 1e-12;

/**
 * The undersize curve of a distribution.
 * Where two classes do not quite meet, the edge is the geometric mean of theirs.
 * A log-uniform class rises straight in ln x, a uniform one straight in x; after a change of quantity
 * by k orders the slope is weighted by x^k. Source: ISO 9276-1; docs/science.md.
 */
export function curveOf(m: SizeDistribution): Curve {
  const edgesUm = [m.lowerUm[0] ?? Number.NaN];
  const undersize = [m.belowShare];
  const last = m.shares.length - 1;
  const top = 1 - m.aboveShare;
  let sum = m.belowShare;
  for (const [i, share] of m.shares.entries()) {
    const upper = m.upperUm[i] ?? Number.NaN;
    const next = m.lowerUm[i + 1] ?? upper;
    edgesUm.push(next === upper ? upper : Math.sqrt(upper * next));
    sum += share;
    // The last bits of the sum must not tell an empty class at the end from a full one.
    undersize.push(i === last || top - sum < lastBits ? top : sum);
  }
  return { edgesUm, undersize, power: slopePower(m) };
}

function slopePower(m: SizeDistribution): number {
  if (m.inClass === "log-uniform") return orderShift(m);
  if (m.inClass === "uniform") return orderShift(m) + 1;
  return 0;
}

/** Share finer than a size; level beyond the ends. */
export function undersizeAt(curve: Curve, sizeUm: number): number {
  const { edgesUm, undersize, power } = curve;
  const n = edgesUm.length;
  const i = lastAtOrBelow(edgesUm, sizeUm);
  if (i < 0) return undersize[0] ?? 0;
  if (i >= n - 1) return undersize[n - 1] ?? 1;
  const from = edgesUm[i] ?? 0;
  const to = edgesUm[i + 1] ?? 0;
  const low = undersize[i] ?? 0;
  const high = undersize[i + 1] ?? 0;
  return low + (high - low) * risen(from, to, power, sizeUm);
}

/** Share finer than a size, or null where the size lies beyond the edges and the share there is not known. */
export function knownUndersizeAt(curve: Curve, sizeUm: number): number | null {
  const first = curve.edgesUm[0] ?? 0;
  const last = curve.edgesUm.at(-1) ?? 0;
  const q = undersizeAt(curve, sizeUm);
  if (sizeUm < first) return q === 0 ? 0 : null;
  if (sizeUm > last) return q === 1 ? 1 : null;
  return q;
}

/**
 * The size that a fraction of the whole is finer than.
 *
 * @param fraction  0 … 1
 * @returns         micrometres, or null where the fraction lies in the share outside the edges
 * @throws          DomainError for a fraction outside 0 … 1
 * Source: ISO 9276-1; linear in ln x inside a class (power 0).
 */
export function sizeAt(curve: Curve, fraction: number): number | null {
  if (!(fraction >= 0 && fraction <= 1)) throw new DomainError("fraction", "must lie in 0 … 1", fraction);
  const { edgesUm, undersize, power } = curve;
  const n = undersize.length;
  if (fraction < (undersize[0] ?? 0) || fraction > (undersize[n - 1] ?? 1)) return null;
  // Zero is read at the last edge with nothing below it, everything else at the first size that reaches it.
  let i = 0;
  if (fraction <= (undersize[0] ?? 0)) {
    while (i + 1 < n && (undersize[i + 1] ?? 1) <= fraction) i++;
    return edgesUm[i] ?? null;
  }
  let low = 0;
  let high = n - 1;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if ((undersize[mid] ?? 0) < fraction) low = mid;
    else high = mid;
  }
  i = low;
  const from = edgesUm[i] ?? 0;
  const to = edgesUm[i + 1] ?? 0;
  const qFrom = undersize[i] ?? 0;
  const qTo = undersize[i + 1] ?? 0;
  return sizeWhenRisen(from, to, power, (fraction - qFrom) / (qTo - qFrom));
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
  const undersize = edgesUm.map((x) => curves.reduce((sum, c) => sum + undersizeAt(c, x), 0) / curves.length);
  const powers = new Set(curves.map((c) => c.power));
  return { edgesUm, undersize, power: powers.size === 1 ? only.power : 0 };
}

/** Every edge that any of the curves has, once, rising. */
export function unionOfEdges(curves: readonly Curve[]): number[] {
  const all = curves.flatMap((c) => c.edgesUm).sort((a, b) => a - b);
  return all.filter((x, i) => i === 0 || x !== all[i - 1]);
}

/** The same curve with every size multiplied: a shift in ln x. @throws DomainError  a factor that is not positive */
export function shifted(curve: Curve, factor: number): Curve {
  if (!(factor > 0 && Number.isFinite(factor))) throw new DomainError("factor", "must be positive", factor);
  return { ...curve, edgesUm: curve.edgesUm.map((x) => x * factor) };
}

function lastAtOrBelow(sorted: readonly number[], x: number): number {
  let low = -1;
  let high = sorted.length;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if ((sorted[mid] ?? 0) <= x) low = mid;
    else high = mid;
  }
  return low;
}

/** How much of a class's share lies finer than x: 0 at its lower edge, 1 at its upper. */
function risen(from: number, to: number, power: number, x: number): number {
  const width = Math.log(to / from);
  const reached = Math.log(x / from);
  return power === 0 ? reached / width : Math.expm1(power * reached) / Math.expm1(power * width);
}

function sizeWhenRisen(from: number, to: number, power: number, part: number): number {
  const width = Math.log(to / from);
  const reached = power === 0 ? part * width : Math.log1p(part * Math.expm1(power * width)) / power;
  return Math.min(Math.max(from * Math.exp(reached), from), to);
}
