import { itemAt, maxOf, minOf, neighbours, threeOf, zip } from "#distributions/lists.ts";
import type { CurveModel, FitStatus } from "#model/fit/curveModel.ts";
import { leastSquares } from "#model/fit/leastSquares.ts";
import type { Reconciled } from "./reconcile.ts";

/** What a separator does, read from a grade-efficiency curve T′ = b + (1 − b)·T with a log-logistic T. */
export interface GradeEfficiency {
  /** x50 of T itself. */
  readonly cutUm: number;
  /** x25/x75 of T. */
  readonly sharpness: number;
  /** Share thrown back whatever its size. */
  readonly bypassShare: number;
  /** Standard errors of ln cut, sharpness, bypass, from the curvature: numerical, no confidence; null where not known. */
  readonly standardErrors: readonly [number, number, number] | null;
  readonly rmsPoints: number;
  readonly status: FitStatus;
}

/**
 * Cut size, sharpness and bypass of reconciled streams: least squares of T′ over the classes, each weighed by what the feed
 * holds of it.
 *
 * @returns null where fewer than five classes hold feed
 * Source: ISO 9276-4 (grade efficiency, cut size, sharpness); log-logistic form docs/science.md.
 */
export function gradeEfficiency({ edgesUm, feed, thrownBack }: Reconciled): GradeEfficiency | null {
  const points = zip(zip(neighbours(edgesUm), feed), thrownBack).flatMap(([[[lower, upper], share], t]) =>
    t === null ? [] : [{ lnSize: Math.log(lower * upper) / 2, t, weight: Math.sqrt(share) }],
  );
  if (points.length < 5) return null;
  const crossing = points.find((p) => p.t >= 0.5) ?? itemAt(points, -1);
  const model = weighted(points);
  const lns = points.map((p) => p.lnSize);
  const xs = points.map((_, i) => i);
  const ys = points.map((p) => p.t * p.weight);
  const bounds = {
    lowest: [minOf(lns) - 2, Math.log(0.5), Math.log(1e-6)],
    highest: [maxOf(lns) + 2, Math.log(60), Math.log(20)],
  };
  const fit = leastSquares({ model, xs, ys, bounds }, [crossing.lnSize, Math.log(3), Math.log(0.03)]);
  const [lnCut, lnSteepness, lnOdds] = threeOf(fit.parameters);
  const steepness = Math.exp(lnSteepness);
  const sharpness = Math.exp(-Math.log(9) / steepness);
  const bypassShare = shareOf(lnOdds);
  const [cutSd, steepnessSd, oddsSd] =
    fit.covariance?.map((row, i) => Math.sqrt(Math.max(itemAt(row, i), 0))) ?? [];
  const value = model.value(fit.parameters);
  const mass = points.reduce((sum, p) => sum + p.weight ** 2, 0);
  const squares = points.reduce((sum, p, i) => sum + (p.t * p.weight - value(i)) ** 2, 0);
  return {
    cutUm: Math.exp(lnCut),
    sharpness,
    bypassShare,
    standardErrors:
      cutSd === undefined || steepnessSd === undefined || oddsSd === undefined
        ? null
        : [
            cutSd,
            steepnessSd * sharpness * (Math.log(9) / steepness),
            oddsSd * bypassShare * (1 - bypassShare),
          ],
    rmsPoints: 100 * Math.sqrt(squares / mass),
    status: fit.status,
  };
}

/** Bypass from its odds, so that it stays between 0 and 1. */
function shareOf(lnOdds: number): number {
  return 1 / (1 + Math.exp(-lnOdds));
}

/** T′ at each point by its number, times its weight; parameters ln cut, ln steepness, ln odds of the bypass. */
function weighted(points: readonly { lnSize: number; weight: number }[]): CurveModel {
  const parts = (parameters: readonly number[], i: number) => {
    const [lnCut, lnSteepness, lnOdds] = threeOf(parameters);
    const { lnSize, weight } = itemAt(points, i);
    const steepness = Math.exp(lnSteepness);
    const u = lnSize - lnCut;
    const t = 1 / (1 + Math.exp(-steepness * u));
    return { weight, steepness, u, t, bypass: shareOf(lnOdds) };
  };
  return {
    value: (parameters) => (i) => {
      const { weight, t, bypass } = parts(parameters, i);
      return weight * (bypass + (1 - bypass) * t);
    },
    slopes: (parameters) => (i) => {
      const { weight, steepness, u, t, bypass } = parts(parameters, i);
      const rise = weight * (1 - bypass) * t * (1 - t) * steepness;
      return [-rise, rise * u, weight * (1 - t) * bypass * (1 - bypass)];
    },
  };
}
