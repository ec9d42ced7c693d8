import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { chanceBelow } from "#model/numbers/normalMixture.ts";
import { type Posterior, predict, type RegressionPoint } from "./posterior.ts";

/** Below this many trials none can be judged by the others. */
const minTrials = 3;

/** How far each trial lies from what the others predict, as a standard normal value; empty below three trials. */
export function leaveOneOutZ(
  points: readonly RegressionPoint[],
  learned: (from: readonly RegressionPoint[]) => Posterior,
): number[] {
  if (points.length < minTrials) return [];
  return points.map((point) => {
    const others = learned(points.filter((other) => other !== point));
    const p = chanceBelow(predict(others, point.row), point.y);
    return normalDeviate(Math.min(Math.max(p, 1e-15), 1 - 1e-15));
  });
}
