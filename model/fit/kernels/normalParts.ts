import { lowerOf, solveWith } from "#model/numbers/kernels/symmetric.ts";

/** What the parts are held to: ln of each size, ln of where its share begins (null: each is all that is finer), and the share. */
export interface SharePoints {
  readonly lns: ArrayLike<number>;
  readonly lnFrom: ArrayLike<number> | null;
  readonly shares: ArrayLike<number>;
}

/** Where a search stands: location and ln σ of each part, then ln of each further weight over the first. */
export interface Found {
  readonly parameters: Float64Array;
  readonly sumOfSquares: number;
}

interface Sums extends Found {
  /** JᵀJ by rows and Jᵀr, r = measured less modelled. */
  readonly squares: readonly Float64Array[];
  readonly pulls: Float64Array;
}

/** Where a search may go, and where it ends. */
export interface SearchRange {
  readonly lowest: ArrayLike<number>;
  readonly highest: ArrayLike<number>;
  readonly mostSteps: number;
  /** A step that lowers the misfit by a smaller share of itself is the last. */
  readonly littleGain: number;
  /** A root mean square of misfits that no measured share would show. */
  readonly noMisfit: number;
}

/**
 * Levenberg's and Marquardt's search for the parts of a mixture of log-normals, on flat sums: the same misfit as the general
 * engine's of `mixture.free`, some thirty times faster, without its check of the floor.
 *
 * @param table  Taylor polynomials of the standard normal curve, of `normalTableOf`
 * @returns where it stands after some steps, never higher than the start
 */
export function searchNormalParts(
  table: Float64Array,
  points: SharePoints,
  start: ArrayLike<number>,
  { lowest, highest, mostSteps, littleGain, noMisfit }: SearchRange,
): Found {
  const enough = noMisfit * noMisfit * points.lns.length;
  let here = sumsAt(table, points, within(start, lowest, highest));
  // The longest slope each parameter had on the way, after Moré (1978): where one dies away its parameter is held back.
  const longest = here.squares.map((row, j) => row[j]);
  let damping = 1e-1;
  for (let step = 0; step < mostSteps && damping < 1e8 && here.sumOfSquares > enough; step++) {
    const next = sumsAt(table, points, within(stepped(here, longest, damping), lowest, highest));
    if (next.sumOfSquares < here.sumOfSquares) {
      const gain = 1 - next.sumOfSquares / here.sumOfSquares;
      here = next;
      for (let j = 0; j < longest.length; j++) longest[j] = Math.max(longest[j], here.squares[j][j]);
      damping = Math.max(damping / 3, 1e-10);
      if (gain < littleGain) break;
    } else damping *= 4;
  }
  return here;
}

function within(
  parameters: ArrayLike<number>,
  lowest: ArrayLike<number>,
  highest: ArrayLike<number>,
): Float64Array {
  return Float64Array.from(parameters, (v, j) => Math.min(Math.max(v, lowest[j]), highest[j]));
}

/** (JᵀJ + λ·D)·Δ = Jᵀr, D the longest squares that the diagonal has had. */
function stepped(
  { parameters, squares, pulls }: Sums,
  longest: readonly number[],
  damping: number,
): Float64Array {
  const damped = squares.map((row, j) => row.map((v, k) => (j === k ? v + damping * longest[j] + 1e-30 : v)));
  const step = solveWith(lowerOf(damped, 0), pulls);
  return parameters.map((v, j) => (Number.isFinite(step[j]) ? v + step[j] : v));
}

function sumsAt(table: Float64Array, { lns, lnFrom, shares }: SharePoints, parameters: Float64Array): Sums {
  const size = parameters.length;
  const parts = partsOf(parameters);
  const squares = Array.from({ length: size }, () => new Float64Array(size));
  const pulls = new Float64Array(size);
  const slopes = new Float64Array(size);
  let sumOfSquares = 0;
  for (let i = 0; i < lns.length; i++) {
    slopes.fill(0);
    const share =
      added(table, slopes, parts, { ln: lns[i], sign: 1 }) -
      (lnFrom === null ? 0 : added(table, slopes, parts, { ln: lnFrom[i], sign: -1 }));
    const residual = shares[i] - share;
    sumOfSquares += residual * residual;
    for (let j = 0; j < size; j++) {
      const slope = slopes[j];
      pulls[j] += slope * residual;
      const row = squares[j];
      for (let k = 0; k <= j; k++) row[k] += slope * slopes[k];
    }
  }
  for (let j = 0; j < size; j++) for (let k = 0; k < j; k++) squares[k][j] = squares[j][k];
  return { parameters, sumOfSquares, squares, pulls };
}

interface Parts {
  readonly locations: Float64Array;
  readonly sigmas: Float64Array;
  readonly weights: Float64Array;
  /** Room for the undersize of each part at one size. */
  readonly undersizes: Float64Array;
}

function partsOf(parameters: Float64Array): Parts {
  const count = (parameters.length + 1) / 3;
  const raw = Float64Array.from({ length: count }, (_, j) =>
    j === 0 ? 1 : Math.exp(parameters[2 * count + j - 1]),
  );
  const whole = raw.reduce((a, b) => a + b, 0);
  return {
    locations: raw.map((_, j) => parameters[2 * j]),
    sigmas: raw.map((_, j) => Math.exp(parameters[2 * j + 1])),
    weights: raw.map((r) => r / whole),
    undersizes: new Float64Array(count),
  };
}

/** The share finer than a size, with its slopes by each parameter, times a sign, added to those given. */
function added(
  table: Float64Array,
  slopes: Float64Array,
  { locations, sigmas, weights, undersizes }: Parts,
  { ln, sign }: { readonly ln: number; readonly sign: number },
): number {
  const count = weights.length;
  let whole = 0;
  for (let j = 0; j < count; j++) {
    const u = (ln - locations[j]) / sigmas[j];
    // Beyond the table the curve is level, to the last bit of a share.
    if (!(u > -8.5 && u < 8.5)) {
      undersizes[j] = u > 0 ? 1 : 0;
      whole += weights[j] * undersizes[j];
      continue;
    }
    const place = Math.round((u + 8.5) * 64);
    const z = u - (place / 64 - 8.5);
    const at = 7 * place;
    // A polynomial and its slope, by Horner's scheme for both at once.
    let value = table[at + 6];
    let slope = 0;
    for (let k = 5; k >= 0; k--) {
      slope = slope * z + value;
      value = value * z + table[at + k];
    }
    undersizes[j] = value;
    whole += weights[j] * value;
    const pull = sign * weights[j] * slope;
    slopes[2 * j] -= pull / sigmas[j];
    slopes[2 * j + 1] -= pull * u;
  }
  for (let j = 1; j < count; j++) slopes[2 * count + j - 1] += sign * weights[j] * (undersizes[j] - whole);
  return whole;
}
