import type { FreeForm } from "#distributions/families/family.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import type { Mixture } from "#distributions/families/mixture.ts";
import { itemAt, neighbours, zip } from "#distributions/lists.ts";
import { answerOf } from "#model/numbers/pausing.ts";
import type { Bounds, LeastSquares } from "./curveModel.ts";
import type { FitPoints } from "./fitPoints.ts";
import { type Found, type SharePoints, searchNormalParts } from "./kernels/normalParts.ts";
import { logarithms } from "./kernels/residuals.ts";
import { leastSquaresSteps } from "./leastSquares.ts";
import { normalTable } from "./normalTable.ts";
import { problemOf } from "./pointProblem.ts";
import { type Shape, solveSlid } from "./solveFamily.ts";

/** A few steps of each start tell the valleys apart; the lowest few go on to where their misfit is known, the lowest of all to its floor. */
const firstSteps = { mostSteps: 7, offset: 1e-2, noMisfit: 1e-9 };
const middleSteps = { mostSteps: 40, offset: 1e-4, noMisfit: 1e-9 };
const lastSteps = { mostSteps: 120, offset: 1e-10, noMisfit: 1e-9 };
const keptValleys = 5;
const fewPoints = 25;

/** Rounds of the general engine after that search: what is not at a floor then lies on a plateau. */
const lastRounds = 30;

/** No part is narrower than one class, or than this where classes are wider: a spike between two edges is no part. */
const widestFloor = 0.2;

/** Where the parts of a mixture may lie: five in ln x beyond the sizes, σ from about one class to 3, weights to e^12 of each other. */
export function partBounds({ lnSizes }: FitPoints, count: number): Bounds {
  const each = (location: number, lnSigma: number, weight: number) => [
    ...Array.from({ length: count }, () => [location, lnSigma]).flat(),
    ...Array.from({ length: count - 1 }, () => weight),
  ];
  const widths = neighbours(lnSizes)
    .map(([from, to]) => to - from)
    .toSorted((a, b) => a - b);
  const oneClass = itemAt(widths, Math.floor(widths.length / 2));
  return {
    lowest: each(itemAt(lnSizes, 0) - 5, Math.log(Math.min(oneClass, widestFloor)), -12),
    highest: each(itemAt(lnSizes, -1) + 5, Math.log(3), 12),
  };
}

interface MixtureQuestion {
  readonly starts: readonly Mixture[];
  /** Of the measured curve. */
  readonly shape: Shape;
  /** Rms of Q between runs: floors whose misfits differ by less fit alike. */
  readonly noisePoints: number;
}

/**
 * Mixtures: starts that cut the measured curve at several places, since the misfit has several valleys. A flat search goes a
 * few steps down each and to the floor of the lowest; the general engine goes on from the lowest of all and says what it is.
 */
export function solveMixture(
  free: FreeForm<Mixture>,
  points: FitPoints,
  { starts, shape, noisePoints }: MixtureQuestion,
): LeastSquares {
  const bounds = partBounds(points, itemAt(starts, 0).components.length);
  const whole = {
    lns: Float64Array.from(points.lnSizes),
    lnFrom: points.fromUm === null ? null : Float64Array.from(logarithms(points.fromUm)),
    shares: Float64Array.from(points.shares),
  };
  const some = thinned(whole);
  const down = (given: SharePoints, from: ArrayLike<number>, end: typeof firstSteps) =>
    searchNormalParts(normalTable(), given, from, { ...bounds, ...end });
  const lowestFirst = (a: Found, b: Found) => a.sumOfSquares - b.sumOfSquares;
  const floors = starts
    .map((start) => down(some, free.toFree(start), firstSteps))
    .toSorted(lowestFirst)
    .slice(0, keptValleys)
    .map(({ parameters }) => down(whole, parameters, middleSteps))
    .toSorted(lowestFirst);
  const [first, ...others] = floors;
  if (first === undefined) throw new RangeError("needs at least one start");
  const lowest = down(whole, first.parameters, lastSteps);
  const found = answerOf(
    leastSquaresSteps(problemOf(free, points, bounds), [...lowest.parameters], lastRounds),
  );
  const alike = (noisePoints / 100) ** 2 * points.telling;
  const single = oneShape(points, shape);
  const isOneEnough = single !== null && single - found.sumOfSquares < alike;
  const hasAnother = others.some(
    (other) =>
      other.isAtFloor &&
      other.sumOfSquares - found.sumOfSquares < alike &&
      isInside(other.parameters, bounds) &&
      areOtherParts(free.fromFree(found.parameters), free.fromFree([...other.parameters])),
  );
  return (isOneEnough || hasAnother) && found.status === "converged"
    ? { ...found, status: "several floors" }
    : found;
}

/** The sum of squares that one log-normal alone leaves: where it fits as well, any cut into parts is one of many. */
function oneShape(points: FitPoints, shape: Shape): number | null {
  return points.fromUm === null ? solveSlid(logNormal, points, shape).sumOfSquares : null;
}

/** Every so-manieth point, some thirty of them: enough to tell the valleys apart. */
function thinned(points: SharePoints): SharePoints {
  const stride = Math.max(1, Math.floor(points.lns.length / fewPoints));
  const few = (list: ArrayLike<number>) => Float64Array.from(list).filter((_, i) => i % stride === 0);
  return {
    lns: few(points.lns),
    lnFrom: points.lnFrom === null ? null : few(points.lnFrom),
    shares: few(points.shares),
  };
}

function isInside(parameters: Float64Array, { lowest, highest }: Bounds): boolean {
  return parameters.every((v, j) => v > itemAt(lowest, j) && v < itemAt(highest, j));
}

/** Parts that a reader would call other ones: 5 % in a median, 10 % in a ln GSD or 2 points of the powder. A judgement of ours. */
function areOtherParts(a: Mixture, b: Mixture): boolean {
  return zip(a.components, b.components).some(
    ([one, other]) =>
      Math.abs(Math.log(one.medianUm / other.medianUm)) > 0.05 ||
      Math.abs(Math.log(Math.log(one.gsd) / Math.log(other.gsd))) > 0.1 ||
      Math.abs(one.weight - other.weight) > 0.02,
  );
}
