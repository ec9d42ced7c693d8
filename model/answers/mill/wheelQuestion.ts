import type { Problem } from "#distributions/problem.ts";
import type { Band } from "#model/band/band.ts";
import type { JudgedRows } from "#model/mill/prediction/judgedRows.ts";
import type { PredictedRefired } from "#model/mill/prediction/predictedSizes.ts";
import type { TargetRow } from "#model/mill/prediction/targetBeforeRefiring.ts";
import type { Refusal } from "#model/mill/trials/refusals.ts";
import type { SuggestedSpeed } from "#model/mill/trials/setPoint.ts";
import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import type { InBand } from "./inBandAnswer.ts";

/** A question about the wheel. */
export interface WheelOptions {
  readonly speedRpm?: number;
  /** At the wheel; the mill's own when left out. */
  readonly flowM3PerH?: number;
  /** The trials' geometric mean when left out. */
  readonly feedKgPerH?: number;
  /** Of the powder the band is for: re-fired where lots show what re-firing adds, else milled. */
  readonly targetD50Um?: number;
  /** Chance that the interval holds the next run; 0.9 when left out. */
  readonly level?: number;
  readonly band?: Band;
  /** Whether the setting most likely in band is sought too: not for every move of a slider. True when left out. */
  readonly wantsBest?: boolean;
  /** The band's rows judged with the fitted mill, where they are known already. */
  readonly judged?: JudgedRows;
}

/** Its answer in numbers. */
export interface WheelNumbers {
  readonly cutUm: number | null;
  readonly stokesCutUm: number | null;
  readonly tipSpeedMPerS: number | null;
  /** Of the milled product. */
  readonly d50Um: SizeInterval | null;
  readonly d10Um: SizeInterval | null;
  readonly d90Um: SizeInterval | null;
  readonly refired: PredictedRefired | null;
  readonly speedRpm: SuggestedSpeed | null;
  readonly inBand: InBand | null;
  /** The band set back to the milled powder. */
  readonly targetBeforeRefiring: readonly TargetRow[];
  readonly basis: "trials" | "prior";
  readonly warnings: readonly string[];
  readonly refused: readonly Refusal[];
  readonly problems: readonly Problem[];
}

/** Its answer. */
export interface WheelAnswer extends WheelNumbers {
  readonly words: WheelWords;
  readonly sentence: string;
}

/** The answer in words, by what it speaks of; empty where nothing is to be said. */
export interface WheelWords {
  /** The sizes to expect at the given speed and the chance of being in band. */
  readonly short: string;
  /** Its basis: runs, lots and limits. */
  readonly rests: string;
  /** What comes out at the given speed, what re-firing makes of it, and its chance of being in band. */
  readonly product: string;
  /** The speed for the target. */
  readonly target: string;
  readonly refused: string;
  readonly physics: string;
}
