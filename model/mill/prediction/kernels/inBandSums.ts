interface Mixture {
  readonly weights: readonly number[];
  readonly means: readonly number[];
  readonly sds: readonly number[];
}

/** A width, and how each component hangs on ln D50 less its middle. */
export interface Width extends Mixture {
  readonly byD50?: {
    readonly middle: number;
    readonly slopes: readonly number[];
    readonly crosses: readonly number[];
    readonly squares: readonly number[];
  };
}

/** What one row asks of a width at ln D50 = y. */
interface Asked {
  readonly least: (y: number) => number;
  readonly most: (y: number) => number;
}

/** A width and what is asked of it; the width is null where it is not known. */
export interface AskedWidth {
  readonly width: Width | null;
  readonly asked: readonly Asked[];
}

export interface AskedProduct {
  readonly d50: Mixture;
  readonly coarse: AskedWidth;
  readonly fine: AskedWidth;
  /** How the two widths err together at a given ln D50. */
  readonly correlation: number;
}

/** What the sums are taken with: the normal curve, and places and weights of Gauss–Legendre rules on −1 … 1. */
export interface SumTools {
  /** Φ at even steps from −reach to reach, `steps` a unit. */
  readonly cdf: Float64Array;
  readonly reach: number;
  readonly steps: number;
  readonly deviate: (share: number) => number;
  /** e^−u at every 1/32 from 0. */
  readonly falling: Float64Array;
  /** The least density·half of a stretch at a place that counts. */
  readonly negligible: number;
  /** A chance so near none or all that the other width cannot tell. */
  readonly sure: number;
  readonly stretch: Rule;
  readonly alongCorrelation: Rule;
}

interface Rule {
  readonly places: readonly number[];
  readonly weights: readonly number[];
}

/** ∫ of the density of ln D50 · the chance that both widths are what is asked of them, stretch by stretch between rising ends. */
export function inBandSum(product: AskedProduct, ends: readonly number[], tools: SumTools): number {
  const { d50, coarse, fine, correlation } = product;
  const { places, weights } = tools.stretch;
  const heights = heightsOf(d50);
  const along = pathOf(correlation, tools.alongCorrelation);
  // [below, within] of each width at one place.
  const first = new Float64Array(2);
  const second = new Float64Array(2);
  let sum = 0;
  for (let i = 1; i < ends.length; i++) {
    const half = (ends[i] - ends[i - 1]) / 2;
    if (half <= 0) continue;
    for (let g = 0; g < places.length; g++) {
      const y = ends[i - 1] + half * (1 + places[g]);
      const weight = densityOf(d50, heights, y, tools.falling) * half;
      if (weight < tools.negligible) continue;
      fillChances(first, coarse, y, tools);
      fillChances(second, fine, y, tools);
      sum += weight * weights[g] * bothWithin(first, second, along, tools);
    }
  }
  return sum;
}

function heightsOf({ weights, sds }: Mixture): Float64Array {
  const heights = new Float64Array(weights.length);
  for (let k = 0; k < heights.length; k++) heights[k] = weights[k] / (sds[k] * Math.sqrt(2 * Math.PI));
  return heights;
}

function densityOf({ means, sds }: Mixture, heights: Float64Array, y: number, falling: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < heights.length; k++) {
    const z = (y - means[k]) / sds[k];
    sum += heights[k] * fallen(falling, 0.5 * z * z);
  }
  return sum;
}

/** The chance that a width lies below what is asked at ln D50 = y, and that it lies within it. */
function fillChances(into: Float64Array, { width, asked }: AskedWidth, y: number, tools: SumTools): void {
  let least = Number.NEGATIVE_INFINITY;
  let most = Number.POSITIVE_INFINITY;
  if (width !== null)
    for (let k = 0; k < asked.length; k++) {
      least = Math.max(least, asked[k].least(y));
      most = Math.min(most, asked[k].most(y));
    }
  into[0] = 0;
  into[1] = most > least ? 1 : 0;
  if (width === null || asked.length === 0 || !(most > least)) return;
  fillBetween(into, { width, e: y - (width.byD50?.middle ?? y), least, most }, tools);
}

/** A width, how far ln D50 lies off its middle, and the limits it is to lie between. */
interface Between {
  readonly width: Width;
  readonly e: number;
  readonly least: number;
  readonly most: number;
}

function fillBetween(
  into: Float64Array,
  { width, e, least, most }: Between,
  { cdf, reach, steps }: SumTools,
): void {
  const { weights, means, sds, byD50 } = width;
  const last = cdf.length - 1;
  const middle = reach * steps;
  let below = 0;
  let upTo = 0;
  for (let k = 0; k < weights.length; k++) {
    let mean = means[k];
    let variance = sds[k] * sds[k];
    if (byD50 !== undefined) {
      mean += byD50.slopes[k] * e;
      variance += (2 * byD50.crosses[k] + byD50.squares[k] * e) * e;
    }
    const scale = steps / Math.sqrt(Math.max(variance, 1e-18));
    below += weights[k] * readAt(cdf, last, (least - mean) * scale + middle);
    upTo += weights[k] * readAt(cdf, last, (most - mean) * scale + middle);
  }
  into[0] = below;
  into[1] = upTo > below ? upTo - below : 0;
}

/** A table straight between its places; the last value beyond the right end, 0 before the left. */
function readAt(table: Float64Array, last: number, place: number): number {
  if (!(place > 0)) return 0;
  if (place >= last) return table[last];
  const i = place | 0;
  return table[i] + (table[i + 1] - table[i]) * (place - i);
}

/** The way from no correlation to r: correlations, 1/(2(1 − r²)) of each, and the weight with the density's own factor. */
interface Path {
  readonly isShort: boolean;
  readonly rs: Float64Array;
  readonly halves: Float64Array;
  readonly weights: Float64Array;
}

function pathOf(correlation: number, rule: Rule): Path {
  const rs = new Float64Array(rule.places.length);
  const halves = new Float64Array(rs.length);
  const weights = new Float64Array(rs.length);
  for (let g = 0; g < rs.length; g++) {
    const r = (correlation / 2) * (1 + rule.places[g]);
    const rest = 1 - r * r;
    rs[g] = r;
    halves[g] = 1 / (2 * rest);
    weights[g] = ((correlation / 2) * rule.weights[g]) / (2 * Math.PI * Math.sqrt(rest));
  }
  return { isShort: Math.abs(correlation) < 0.01, rs, halves, weights };
}

/**
 * The chance that two normal values that go together with correlation r lie each in its stretch: the product of the two
 * chances and ∫₀ʳ of the density at the four corners. Source: Plackett (1954), dΦ₂/dr = φ₂ (from memory).
 */
function bothWithin(
  first: Float64Array,
  second: Float64Array,
  { isShort, rs, halves, weights }: Path,
  { deviate, falling, sure }: SumTools,
): number {
  const [one, other] = [first[1], second[1]];
  const product = one * other;
  if (isShort || one < sure || one > 1 - sure || other < sure || other > 1 - sure) return product;
  const low = deviate(held(first[0]));
  const high = deviate(held(first[0] + one));
  const otherLow = deviate(held(second[0]));
  const otherHigh = deviate(held(second[0] + other));
  let more = 0;
  for (let g = 0; g < rs.length; g++) {
    const twice = 2 * rs[g];
    const half = halves[g];
    more +=
      weights[g] *
      (fallen(falling, (high * high - twice * high * otherHigh + otherHigh * otherHigh) * half) -
        fallen(falling, (low * low - twice * low * otherHigh + otherHigh * otherHigh) * half) -
        fallen(falling, (high * high - twice * high * otherLow + otherLow * otherLow) * half) +
        fallen(falling, (low * low - twice * low * otherLow + otherLow * otherLow) * half));
  }
  const both = product + more;
  return Math.min(Math.max(both, 0), 1);
}

/** A share that a normal value can stand for. */
function held(share: number): number {
  return Math.min(Math.max(share, 1e-12), 1 - 1e-12);
}

/** e^−u for u ≥ 0 from its values at every 1/32 and four terms: within 1e-11 of itself; beyond the table none. */
function fallen(table: Float64Array, u: number): number {
  const place = (u * 32 + 0.5) | 0;
  if (!(u < 1e6) || place >= table.length) return 0;
  const d = place / 32 - u;
  return table[place] * (1 + d * (1 + d * (1 / 2 + d * (1 / 6 + d / 24))));
}
