import type { Family, FreeForm, SlidFamily } from "#distributions/families/family.ts";
import { risingForm } from "#distributions/families/gatesGaudinSchuhmann.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import type { Bounds, LeastSquares } from "./curveModel.ts";
import type { FitPoints } from "./fitPoints.ts";
import { leastSquaresFromSeveral } from "./leastSquares.ts";
import { centred, newtonFit } from "./newton.ts";
import { problemOf } from "./pointProblem.ts";

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

/**
 * A family whose curve has a corner at its top: up to a given point it is a smooth curve of two parameters, beyond it 1, and
 * each such stretch has one floor at most. All are tried from the last on, until what the points beyond the top leave is
 * more than the lowest floor: so that one is the lowest there is. No floor lies on a corner, where the misfit only bends down.
 */
export function solveWithCorner<P>(family: SlidFamily<P>, points: FitPoints, shape: Shape): LeastSquares {
  const { lnSizes, shares } = points;
  const start = family.free.toFree(family.start(shape.d50Um, shape.widthLn));
  const bounds = slidBounds(points);
  if (points.fromUm !== null) return general(family.free, points, [start, ...topsOf(points, start)], bounds);
  let beyond = 0;
  let from = start;
  let lowest: LeastSquares | null = null;
  for (let count = lnSizes.length; count >= 2; count--) {
    const found = newtonFit(risingForm, centred(lnSizes.slice(0, count)), shares.slice(0, count), pair(from));
    if (found !== null) {
      const [top] = pair(found.parameters);
      from = found.parameters;
      const isHere =
        top >= itemAt(lnSizes, count - 1) && (count === lnSizes.length || top <= itemAt(lnSizes, count));
      const sumOfSquares = found.sumOfSquares + beyond;
      if (isHere && (lowest === null || sumOfSquares < lowest.sumOfSquares))
        lowest = { ...found, sumOfSquares };
    }
    beyond += (1 - itemAt(shares, count - 1)) ** 2;
    if (lowest !== null && beyond > lowest.sumOfSquares) break;
  }
  // The general engine says what it is, at its floor already.
  return general(
    family.free,
    points,
    lowest === null ? [start, ...topsOf(points, start)] : [lowest.parameters],
    bounds,
  );
}

/** Starts with the top at each edge of the upper half, twelve of them at most. */
function topsOf({ lnSizes, shares }: FitPoints, [, lnScale = 0]: readonly number[]): number[][] {
  const tops = zip(lnSizes, shares).flatMap(([ln, share]) => (share > 0.5 ? [ln] : []));
  const stride = Math.ceil(tops.length / 12);
  return tops.filter((_, i) => i % stride === 0).map((top) => [top, lnScale]);
}

function pair([location = 0, lnScale = 0]: readonly number[]): [number, number] {
  return [location, lnScale];
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

function general<P>(
  free: FreeForm<P>,
  points: FitPoints,
  starts: readonly (readonly number[])[],
  bounds: Bounds,
): LeastSquares {
  return leastSquaresFromSeveral(problemOf(free, points, bounds), starts);
}
