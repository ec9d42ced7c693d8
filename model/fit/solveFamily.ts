import type { Family, FreeForm, SlidFamily } from "#distributions/families/family.ts";
import type { Mixture } from "#distributions/families/mixture.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import { answerOf } from "#model/numbers/pausing.ts";
import type { Bounds, CurveModel, FitProblem, LeastSquares } from "./curveModel.ts";
import type { FitPoints } from "./fitPoints.ts";
import { searchNormalParts } from "./kernels/normalParts.ts";
import { logarithms } from "./kernels/residuals.ts";
import { leastSquaresFromSeveral, leastSquaresSteps } from "./leastSquares.ts";
import { centred, newtonFit } from "./newton.ts";
import { normalTable } from "./normalTable.ts";

/** What a start is made from: the measured median and ln of D84/D16. */
export interface Shape {
  readonly d50Um: number;
  readonly widthLn: number;
}

/** Widest ranges of a location and a ln scale: twenty in ln x beyond the sizes, scales from 1e-4 to 55. */
function slidBounds({ lnSizes }: FitPoints): Bounds {
  return { lowest: [itemAt(lnSizes, 0) - 20, -9], highest: [itemAt(lnSizes, -1) + 20, 4] };
}

/** A family of two parameters: Newton's method, and the general engine where that does not get there. */
export function solveSlid<P>(family: SlidFamily<P>, points: FitPoints, shape: Shape): LeastSquares {
  const [location = 0, lnScale = 0] = family.free.toFree(family.start(shape.d50Um, shape.widthLn));
  if (points.fromUm === null) {
    const found = newtonFit(family.form, centred(points.lnSizes), points.shares, [location, lnScale]);
    const { lowest, highest } = slidBounds(points);
    if (found?.parameters.every((v, i) => v > (lowest[i] ?? v) && v < (highest[i] ?? v)) === true)
      return found;
  }
  return general(family.free, points, [[location, lnScale]], slidBounds(points));
}

/** A family whose curve has a corner: each stretch between two edges may hold a floor of its own, so each is tried. */
export function solveWithCorner<P>(family: SlidFamily<P>, points: FitPoints, shape: Shape): LeastSquares {
  const [location = 0, lnScale = 0] = family.free.toFree(family.start(shape.d50Um, shape.widthLn));
  const tops = zip(points.sizesUm, points.shares).flatMap(([x, share]) => (share > 0.5 ? [Math.log(x)] : []));
  // Twelve of them at most, evenly spread.
  const stride = Math.ceil(tops.length / 12);
  const starts = [location, ...tops.filter((_, i) => i % stride === 0)].map((top) => [top, lnScale]);
  return general(family.free, points, starts, slidBounds(points));
}

/** The upper-limit family: the room above the median from a tenth to a thousand medians. */
export function solveUpperLimit<P>(family: Family<P>, points: FitPoints, shape: Shape): LeastSquares {
  const { lowest, highest } = slidBounds(points);
  const largest = itemAt(points.sizesUm, -1);
  const lnMedian = Math.log(shape.d50Um);
  const rooms = [1.2, 3, 20].map((times) => Math.log(Math.max((times * largest) / shape.d50Um - 1, 0.2)));
  return general(
    family.free,
    points,
    rooms.map((room) => [lnMedian, Math.log(shape.widthLn / 2), room]),
    {
      lowest: [...lowest, Math.log(0.01)],
      highest: [...highest, Math.log(1000)],
    },
  );
}

/**
 * Where a search down a mixture ends: what is left of the misfit is the general engine's; a curve that is exactly of fewer
 * parts leads down for ever, below what any measured share would show.
 */
const searchEnd = { mostSteps: 200, littleGain: 1e-9, noMisfit: 1e-9 };

/** Rounds of the general engine after that search: what is not at a floor then lies on a plateau. */
const lastRounds = 30;

/**
 * Mixtures: starts that cut the measured curve at several places, since the misfit has several valleys.
 * A flat search goes down each; from the lowest the general engine goes on to the floor.
 */
export function solveMixture(
  free: FreeForm<Mixture>,
  points: FitPoints,
  starts: readonly Mixture[],
): LeastSquares {
  const lns = points.lnSizes;
  const count = starts[0]?.components.length ?? 2;
  const each = <T>(location: T, lnSigma: T, weight: T) => [
    ...Array.from({ length: count }, () => [location, lnSigma]).flat(),
    ...Array.from({ length: count - 1 }, () => weight),
  ];
  const bounds = {
    lowest: each(itemAt(lns, 0) - 5, Math.log(0.02), -12),
    highest: each(itemAt(lns, -1) + 5, Math.log(3), 12),
  };
  const lnFrom = points.fromUm === null ? null : logarithms(points.fromUm);
  const [lowest] = starts
    .map((start) =>
      searchNormalParts(normalTable(), { lns, lnFrom, shares: points.shares }, free.toFree(start), {
        ...bounds,
        ...searchEnd,
      }),
    )
    .toSorted((a, b) => a.sumOfSquares - b.sumOfSquares);
  if (lowest === undefined) throw new RangeError("needs at least one start");
  return answerOf(leastSquaresSteps(problemOf(free, points, bounds), [...lowest.parameters], lastRounds));
}

function general<P>(
  free: FreeForm<P>,
  points: FitPoints,
  starts: readonly (readonly number[])[],
  bounds: Bounds,
): LeastSquares {
  return leastSquaresFromSeveral(problemOf(free, points, bounds), starts);
}

function problemOf<P>(free: FreeForm<P>, { lnSizes, fromUm, shares }: FitPoints, bounds: Bounds): FitProblem {
  const lnFrom = fromUm === null ? null : logarithms(fromUm);
  const model: CurveModel = {
    value: (p) => {
      const undersize = free.undersize(p);
      return (i) => undersize(itemAt(lnSizes, i)) - (lnFrom === null ? 0 : undersize(itemAt(lnFrom, i)));
    },
    slopes: (p) => {
      const slopes = free.slopes(p);
      return (i) => {
        const here = slopes(itemAt(lnSizes, i));
        if (lnFrom === null) return here;
        return zip(here, slopes(itemAt(lnFrom, i))).map(([a, b]) => a - b);
      };
    },
  };
  return { model, xs: shares.map((_, i) => i), ys: shares, bounds };
}
