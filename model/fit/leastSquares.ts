import { levenbergMarquardt } from "ml-levenberg-marquardt";
import { answerOf, type Steps } from "#model/numbers/pausing.ts";
import type { Bounds, CurveModel, LeastSquares } from "./curveModel.ts";
import { dampedWalk } from "./dampedWalk.ts";

/**
 * Unweighted least squares by two routes, of which the lower end counts: the package's answer, and the start itself,
 * each walked to the floor by damped steps that say whether it was reached, since the package reports neither
 * convergence nor covariance.
 *
 * @param xs      where the model is asked
 * @param ys      what was measured there
 * @param start   a start value for each parameter
 * @param bounds  lowest and highest value of each parameter
 * Accuracy: at least 6 certified digits on the 27 nonlinear problems of NIST StRD (tests/published/strd.test.ts).
 * Source: Levenberg (1944), Marquardt (1963); convergence by the relative offset of Bates and Watts (1981), from memory.
 */
export function leastSquares(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  start: readonly number[],
  bounds: Bounds,
): LeastSquares {
  return answerOf(leastSquaresSteps(model, xs, ys, start, bounds));
}

/** The same with a pause after each step of the walks. */
export function* leastSquaresSteps(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  start: readonly number[],
  bounds: Bounds,
): Steps<LeastSquares> {
  const near = packageFit(model, xs, ys, start, bounds);
  yield;
  const fromPackage = yield* dampedWalk(model, xs, ys, near, bounds);
  const fromStart = yield* dampedWalk(model, xs, ys, start, bounds);
  return isBetter(fromStart, fromPackage) ? fromStart : fromPackage;
}

/** Steps the package may take. */
const packageSteps = 20;

/** Steps of the short walk that tells one start's valley from another's. */
const shortWalk = 12;

/**
 * The best of several starts, where one alone can end on a false plateau: a short walk from each,
 * then the whole way from the lowest.
 *
 * @throws RangeError  no start
 */
export function leastSquaresFromSeveral(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  starts: readonly (readonly number[])[],
  bounds: Bounds,
): LeastSquares {
  const [first, ...others] = starts.map((start) =>
    answerOf(dampedWalk(model, xs, ys, start, bounds, shortWalk)),
  );
  if (first === undefined) throw new RangeError("needs at least one start");
  const best = others.reduce((a, b) => (b.sumOfSquares < a.sumOfSquares ? b : a), first);
  return leastSquares(model, xs, ys, best.parameters, bounds);
}

function isBetter(a: LeastSquares, b: LeastSquares): boolean {
  const isFloor = (fit: LeastSquares) => fit.status === "converged";
  if (isFloor(a) !== isFloor(b))
    return isFloor(a)
      ? a.sumOfSquares <= b.sumOfSquares * (1 + 1e-9)
      : a.sumOfSquares < b.sumOfSquares * (1 - 1e-9);
  return a.sumOfSquares < b.sumOfSquares;
}

/** The package's answer, or the start where it found nothing better or lost its way. */
function packageFit(
  model: CurveModel,
  xs: readonly number[],
  ys: readonly number[],
  start: readonly number[],
  { lowest, highest }: Bounds,
): readonly number[] {
  const errorAt = (p: readonly number[]) => {
    const value = model.value(p);
    return xs.reduce((sum, x, i) => sum + ((ys[i] ?? 0) - value(x)) ** 2, 0);
  };
  try {
    const found = levenbergMarquardt({ x: [...xs], y: [...ys] }, (parameters) => model.value(parameters), {
      initialValues: [...start],
      minValues: [...lowest],
      maxValues: [...highest],
      jacobianFunction: (parameters: number[]) => {
        const slopes = model.slopes(parameters);
        return (x: number) => [...slopes(x)];
      },
      damping: 1e-3,
      errorTolerance: 1e-20,
      maxIterations: packageSteps,
    });
    if (errorAt(found.parameterValues) <= errorAt(start)) return found.parameterValues;
  } catch {
    // Its matrix was singular to the last bit: the walk goes on from the start and says so if it is.
  }
  return start;
}
