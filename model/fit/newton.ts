import type { StandardForm } from "#distributions/families/family.ts";
import type { LeastSquares } from "./curveModel.ts";

const stepLimit = 60;

/**
 * Unweighted least squares of Q = F((ln x − location)/scale), by Newton's method in the two coordinates of a straight line
 * u = slope · ln x + level. The curvature is exact where it is positive, else the damped Gauss–Newton part alone.
 *
 * @param lnSizes  ln of each size
 * @param shares   Q at each
 * @param start    location and ln scale
 * @returns  parameters location and ln scale; null where it could not get to the floor, for the general engine to try
 * Accuracy: the same floor as the general engine within 1e-9 (tests/model/fit/fit.test.ts).
 */
export function newtonFit(
  form: StandardForm,
  lnSizes: readonly number[],
  shares: readonly number[],
  [location, lnScale]: readonly [number, number],
): LeastSquares | null {
  const middle = lnSizes.reduce((a, b) => a + b, 0) / lnSizes.length;
  const ts = lnSizes.map((x) => x - middle);
  let slope = Math.exp(-lnScale);
  let level = (middle - location) * slope;
  let here = sumsAt(form, ts, shares, slope, level);
  for (let iterations = 1; iterations <= stepLimit; iterations++) {
    const step = stepOf(here);
    if (step === null) return null;
    const reach = Math.abs(step.slope) + Math.abs(step.level);
    if (reach < 1e-13 * (1 + Math.abs(slope) + Math.abs(level)))
      return finished(form, ts, middle, slope, level, here, iterations);
    let damping = 1;
    let next = sumsAt(form, ts, shares, slope + step.slope, level + step.level);
    while (!(next.error < here.error && slope + damping * step.slope > 0) && damping > 1e-9) {
      damping /= 2;
      next = sumsAt(form, ts, shares, slope + damping * step.slope, level + damping * step.level);
    }
    if (!(next.error < here.error))
      // Rounding hides any further gain: the floor, if the step asked for was already tiny.
      return reach < 1e-6 * (1 + Math.abs(slope) + Math.abs(level))
        ? finished(form, ts, middle, slope, level, here, iterations)
        : null;
    slope += damping * step.slope;
    level += damping * step.level;
    here = next;
  }
  return null;
}

/** Sums over the points: misfit, its gradient, and the two parts of its curvature (tt, t1, 11). */
interface Sums {
  readonly error: number;
  readonly gradient: readonly [number, number];
  readonly squared: readonly [number, number, number];
  readonly exact: readonly [number, number, number];
}

function sumsAt(
  form: StandardForm,
  ts: readonly number[],
  shares: readonly number[],
  slope: number,
  level: number,
): Sums {
  let error = 0;
  let g0 = 0;
  let g1 = 0;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let e0 = 0;
  let e1 = 0;
  let e2 = 0;
  for (let i = 0; i < ts.length; i++) {
    const t = ts[i] ?? 0;
    const u = slope * t + level;
    const residual = form.undersize(u) - (shares[i] ?? 0);
    const f = form.slope(u);
    error += residual * residual;
    g0 += residual * f * t;
    g1 += residual * f;
    const square = f * f;
    const exact = square + residual * form.curvature(u);
    s0 += square * t * t;
    s1 += square * t;
    s2 += square;
    e0 += exact * t * t;
    e1 += exact * t;
    e2 += exact;
  }
  return { error, gradient: [g0, g1], squared: [s0, s1, s2], exact: [e0, e1, e2] };
}

function stepOf({ gradient: [g0, g1], squared, exact }: Sums): { slope: number; level: number } | null {
  for (const [tt, t1, one] of [exact, squared]) {
    const determinant = tt * one - t1 * t1;
    if (tt > 0 && determinant > 1e-14 * tt * one)
      return { slope: -(one * g0 - t1 * g1) / determinant, level: -(tt * g1 - t1 * g0) / determinant };
  }
  return null;
}

function finished(
  form: StandardForm,
  ts: readonly number[],
  middle: number,
  slope: number,
  level: number,
  sums: Sums,
  iterations: number,
): LeastSquares {
  return {
    parameters: [middle - level / slope, -Math.log(slope)],
    sumOfSquares: sums.error,
    status: "converged",
    iterations,
    covariance: covarianceOf(form, ts, slope, level, sums.error),
  };
}

/** In location and ln scale: dQ/dlocation = −F′·slope, dQ/dlnScale = −F′·u. */
function covarianceOf(
  form: StandardForm,
  ts: readonly number[],
  slope: number,
  level: number,
  error: number,
) {
  const freedom = ts.length - 2;
  if (freedom <= 0) return null;
  let a = 0;
  let b = 0;
  let c = 0;
  for (const t of ts) {
    const u = slope * t + level;
    const f = form.slope(u);
    a += (f * slope) ** 2;
    b += f * f * slope * u;
    c += (f * u) ** 2;
  }
  const determinant = a * c - b * b;
  if (!(determinant > 1e-14 * a * c)) return null;
  const variance = error / freedom / determinant;
  return [
    [c * variance, -b * variance],
    [-b * variance, a * variance],
  ];
}
