import type { StandardForm } from "#distributions/families/family.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import type { LeastSquares } from "./curveModel.ts";
import {
  type CentredPoints,
  type Sums,
  sumsAt,
  sumsOfNormal,
  sumsOfRosinRammler,
} from "./kernels/newtonSums.ts";
import { normalTable } from "./normalTable.ts";

const stepLimit = 60;

/** Newton's method doubles its digits, so the step after one this small is below rounding. */
const lastStep = 1e-7;

type SumsAt = (points: CentredPoints, slope: number, level: number) => Sums;

/** The forms in which most fits are made have sums of their own. */
const quickSums: ReadonlyMap<StandardForm, SumsAt> = new Map<StandardForm, SumsAt>([
  [normalForm, (points, slope, level) => sumsOfNormal(normalTable(), points, slope, level)],
  [rosinRammler.form, sumsOfRosinRammler],
]);

/** Points with ln of each size less a middle: the same for all measurements of one table. */
export interface CentredSizes {
  readonly ts: readonly number[];
  readonly middle: number;
}

export function centred(lnSizes: readonly number[]): CentredSizes {
  const middle = lnSizes.reduce((a, b) => a + b, 0) / lnSizes.length;
  return { ts: lnSizes.map((x) => x - middle), middle };
}

/**
 * Unweighted least squares of Q = F((ln x − location)/scale), by Newton's method in the two coordinates of a straight line
 * u = slope · ln x + level. The curvature is exact where it is positive, else the damped Gauss–Newton part alone.
 *
 * @param shares   Q at each size
 * @param start    location and ln scale
 * @returns  parameters location and ln scale; null where it could not get to the floor, for the general engine to try
 * Accuracy: within 1e-12 of the floor (tests/model/fit/newton.test.ts).
 */
export function newtonFit(
  form: StandardForm,
  { ts, middle }: CentredSizes,
  shares: readonly number[],
  [location, lnScale]: readonly [number, number],
): LeastSquares | null {
  const points = { ts, shares };
  const quick = quickSums.get(form);
  const sumsOf: SumsAt = quick ?? ((all, slope, level) => sumsAt(form, all, slope, level));
  let slope = Math.exp(-lnScale);
  let level = (middle - location) * slope;
  let here = sumsOf(points, slope, level);
  for (let iterations = 1; iterations <= stepLimit; iterations++) {
    const step = stepOf(here);
    if (step === null) return null;
    const reach = (Math.abs(step.slope) + Math.abs(step.level)) / (1 + Math.abs(slope) + Math.abs(level));
    let next = sumsOf(points, slope + step.slope, level + step.level);
    // Near the floor rounding hides the gain of a step, not the step.
    if (step.isExact && reach < lastStep)
      return finished(middle, { slope: slope + step.slope, level: level + step.level }, next, {
        iterations,
        freedom: ts.length - 2,
      });
    let damping = 1;
    while (!(next.error < here.error && slope + damping * step.slope > 0) && damping > 1e-9) {
      damping /= 2;
      next = sumsOf(points, slope + damping * step.slope, level + damping * step.level);
    }
    if (!(next.error < here.error))
      // Rounding hides any further gain: the floor, if the step asked for was already tiny.
      return reach < 1e-6
        ? finished(middle, { slope, level }, here, { iterations, freedom: ts.length - 2 })
        : null;
    slope += damping * step.slope;
    level += damping * step.level;
    here = next;
  }
  return null;
}

/** The line u = slope · (ln x − middle) + level. */
interface Line {
  readonly slope: number;
  readonly level: number;
}

function stepOf({ gradient: [g0, g1], squared, exact }: Sums): (Line & { readonly isExact: boolean }) | null {
  for (const curvature of [exact, squared]) {
    const [tt, t1, one] = curvature;
    const determinant = tt * one - t1 * t1;
    if (tt > 0 && determinant > 1e-14 * tt * one)
      return {
        slope: -(one * g0 - t1 * g1) / determinant,
        level: -(tt * g1 - t1 * g0) / determinant,
        isExact: curvature === exact,
      };
  }
  return null;
}

function finished(
  middle: number,
  { slope, level }: Line,
  sums: Sums,
  { iterations, freedom }: { readonly iterations: number; readonly freedom: number },
): LeastSquares {
  return {
    parameters: [middle - level / slope, -Math.log(slope)],
    sumOfSquares: sums.error,
    status: "converged",
    iterations,
    covariance: freedom > 0 ? covarianceOf({ slope, level }, sums, freedom) : null,
  };
}

/** In location and ln scale: dQ/dlocation = −F′·slope, dQ/dlnScale = −F′·u, u = slope · t + level. */
function covarianceOf({ slope, level }: Line, { squared: [tt, t1, one], error }: Sums, freedom: number) {
  const a = slope ** 2 * one;
  const b = slope * (slope * t1 + level * one);
  const c = slope ** 2 * tt + 2 * slope * level * t1 + level ** 2 * one;
  const determinant = slope ** 4 * (tt * one - t1 * t1);
  if (!(determinant > 1e-14 * a * c)) return null;
  const variance = error / freedom / determinant;
  return [
    [c * variance, -b * variance],
    [-b * variance, a * variance],
  ];
}
