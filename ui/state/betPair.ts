import { surfaceAnswer } from "#model/answers/surfaceAnswer.ts";
import type { Stage } from "#model/stages.ts";
import { lot, stageLine } from "./subject.ts";

/** Beyond this a BET area is hardly that of the same powder; below one the rule of the lower bound is broken. */
const largestRatio = 20;

/**
 * Why a pair of areas should be looked at again before it is kept; null where nothing is odd.
 * Smooth dense spheres have the least area that their sizes allow, so a BET area below theirs points at a slip.
 */
export function pairDoubt(geometricM2PerG: number, betM2PerG: number): string | null {
  const ratio = betM2PerG / geometricM2PerG;
  if (ratio < 1)
    return "The BET area is below the geometric one, but smooth spheres have the least area there is. Are the two the right way round, in m²/g, and of the same powder?";
  if (ratio > largestRatio)
    return `The BET area is ${Math.round(ratio)} times the geometric one; more than ${largestRatio} times is rare. Is a decimal mark missing, or is the powder porous?`;
  return null;
}

/** The mean geometric area of a stage of the lot that is looked at; null where it is not measured. */
export function geometricAreaOf(stage: Stage): number | null {
  const runs = stageLine.value.find((s) => s.stage === stage)?.measurements ?? [];
  if (lot.value === null || runs.length === 0) return null;
  const { overRuns } = surfaceAnswer(runs, { densityGPerCm3: lot.value.densityGPerCm3 });
  return overRuns.value === null ? null : Number(overRuns.value.toPrecision(3));
}
