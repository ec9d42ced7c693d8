import { oddPairSentence } from "#model/answers/surface/predictedBetWords.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { predictedBet } from "#model/surface/predictedBet.ts";
import { pairs } from "./entries.ts";
import { lot, ownPairs, stageLine } from "./selection.ts";

/** A pair as it is being typed: an empty word, or no number, is not noted. */
export interface PairDraft {
  readonly stage: string;
  readonly material: string;
  readonly geometricM2PerG: number | null;
  readonly betM2PerG: number | null;
  readonly measuredOn: string;
  readonly instrument: string;
  readonly optics: string;
  readonly dopantClass: string;
  readonly densityGPerCm3: number | null;
}

export function draftOf(pair: Partial<BetPair> & { readonly stage: string }): PairDraft {
  return {
    stage: pair.stage,
    material: pair.material ?? "",
    geometricM2PerG: pair.geometricM2PerG ?? null,
    betM2PerG: pair.betM2PerG ?? null,
    measuredOn: pair.measuredOn ?? "",
    instrument: pair.instrument ?? "",
    optics: pair.optics ?? "",
    dopantClass: pair.dopantClass ?? "",
    densityGPerCm3: pair.densityGPerCm3 ?? null,
  };
}

/** The pair that a draft stands for; null until both areas are there. */
export function pairOf(draft: PairDraft): BetPair | null {
  const { stage, geometricM2PerG, betM2PerG, densityGPerCm3 } = draft;
  if (geometricM2PerG === null || betM2PerG === null || !(geometricM2PerG > 0 && betM2PerG > 0)) return null;
  const noted = (name: "material" | "measuredOn" | "instrument" | "optics" | "dopantClass") =>
    draft[name].trim() === "" ? {} : { [name]: draft[name].trim() };
  return {
    stage,
    geometricM2PerG,
    betM2PerG,
    ...noted("material"),
    ...noted("measuredOn"),
    ...noted("instrument"),
    ...noted("optics"),
    ...noted("dopantClass"),
    ...(densityGPerCm3 === null || !(densityGPerCm3 > 0) ? {} : { densityGPerCm3 }),
  };
}

/** Words that were noted for other pairs. */
export function notedBefore(name: "material" | "instrument" | "optics" | "dopantClass"): readonly string[] {
  return [...new Set(pairs.value.flatMap((pair) => pair[name] ?? []))];
}

/** Beyond this a BET area is hardly that of the same powder; below one the rule of the lower bound is broken. */
const largestRatio = 20;

/**
 * Why a pair of areas should be looked at again before it is saved; null where nothing is odd.
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

/** What to weigh before a pair goes in that lies far from the others of its stage; null where it does not. */
export function oddBesideOthers(pair: BetPair): string | null {
  const { stage, material, geometricM2PerG, betM2PerG, ...now } = pair;
  const others = ownPairs(material ?? null).filter((p) => p.stage === stage);
  return oddPairSentence(
    predictedBet(others, geometricM2PerG, { level: 0.95, now, cameBackM2PerG: betM2PerG }),
  );
}

/** The mean geometric area of a stage of the lot that is looked at; null where it is not measured. */
export function geometricAreaOf(stage: Stage): number | null {
  const runs = stageLine.value.find((s) => s.stage === stage)?.measurements ?? [];
  if (lot.value === null || runs.length === 0) return null;
  const { overRuns } = surfaceAnswer(runs, { densityGPerCm3: lot.value.densityGPerCm3 });
  return overRuns.value === null ? null : Number(overRuns.value.toPrecision(3));
}
