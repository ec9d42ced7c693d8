import type { StandardForm } from "#distributions/families/family.ts";
import type { LeastSquares } from "./curveModel.ts";
import { type Sums, sumsAt } from "./kernels/newtonSums.ts";

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
  const points = { ts: Float64Array.from(ts), shares: Float64Array.from(shares) };
  let slope = Math.exp(-lnScale);
  let level = (middle - location) * slope;
  let here = sumsAt(form, points, slope, level);
  for (let iterations = 1; iterations <= stepLimit; iterations++) {
    const step = stepOf(here);
    if (step === null) return null;
    const reach = Math.abs(step.slope) + Math.abs(step.level);
    if (reach < 1e-13 * (1 + Math.abs(slope) + Math.abs(level)))
      return finished({ form, ts, middle }, { slope, level }, here, iterations);
    let damping = 1;
    let next = sumsAt(form, points, slope + step.slope, level + step.level);
    while (!(next.error < here.error && slope + damping * step.slope > 0) && damping > 1e-9) {
      damping /= 2;
      next = sumsAt(form, points, slope + damping * step.slope, level + damping * step.level);
    }
    if (!(next.error < here.error))
      // Rounding hides any further gain: the floor, if the step asked for was already tiny.
      return reach < 1e-6 * (1 + Math.abs(slope) + Math.abs(level))
        ? finished({ form, ts, middle }, { slope, level }, here, iterations)
        : null;
    slope += damping * step.slope;
    level += damping * step.level;
    here = next;
  }
  return null;
}

function stepOf({ gradient: [g0, g1], squared, exact }: Sums): { slope: number; level: number } | null {
  for (const [tt, t1, one] of [exact, squared]) {
    const determinant = tt * one - t1 * t1;
    if (tt > 0 && determinant > 1e-14 * tt * one)
      return { slope: -(one * g0 - t1 * g1) / determinant, level: -(tt * g1 - t1 * g0) / determinant };
  }
  return null;
}

interface Centred {
  readonly form: StandardForm;
  /** ln of each size, less their middle. */
  readonly ts: readonly number[];
  readonly middle: number;
}

/** The line u = slope · (ln x − middle) + level. */
interface Line {
  readonly slope: number;
  readonly level: number;
}

function finished(of: Centred, { slope, level }: Line, sums: Sums, iterations: number): LeastSquares {
  return {
    parameters: [of.middle - level / slope, -Math.log(slope)],
    sumOfSquares: sums.error,
    status: "converged",
    iterations,
    covariance: covarianceOf(of, { slope, level }, sums.error),
  };
}

/** In location and ln scale: dQ/dlocation = −F′·slope, dQ/dlnScale = −F′·u. */
function covarianceOf({ form, ts }: Centred, { slope, level }: Line, error: number) {
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
