import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band, BetLimits } from "#model/band/band.ts";
import { type BetPair, betResult, type Noted, whyNotCompared } from "#model/surface/bet.ts";
import { calibrationMetadata } from "#model/surface/calibrationMetadata.ts";
import type { CalibrationMetadata } from "#model/surface/stale.ts";
import { type SurfaceAnswer, surfaceAnswer } from "./surfaceAnswer.ts";

/** What is kept about a stage of a lot that its BET area hangs on. */
export interface SavedStage<Result extends Noted> {
  readonly stage: string;
  readonly densityGPerCm3: number;
  readonly runs: readonly (NamedMeasurement & { readonly howMeasured?: MeasurementMetadata })[];
  /** How the powder of the stage was made. */
  readonly settings: readonly { readonly name: string; readonly value: string }[];
  /** Of all stages. */
  readonly pairs: readonly BetPair[];
  /** Noted for the lot, in the order they were noted. */
  readonly results: readonly Result[];
  readonly band: Band | null;
}

export interface StageSurface<Result extends Noted> {
  readonly answer: SurfaceAnswer;
  readonly now: CalibrationMetadata;
  /** The specification of the BET area, where the band is for powder of this stage. */
  readonly limits: BetLimits | null;
  /** The latest BET area noted for the stage; null while none came back. */
  readonly cameBack: Result | null;
}

/** The area of a stage of a lot and the BET area to expect, from all that is kept about it. */
export function stageSurface<Result extends Noted>(kept: SavedStage<Result>): StageSurface<Result> {
  const { stage, densityGPerCm3, runs, pairs, band } = kept;
  const now = { densityGPerCm3, ...calibrationMetadata(runs, kept.settings) };
  const limits = (band?.stage === "" || band?.stage === stage ? band.betM2PerG : undefined) ?? null;
  const found = kept.results.filter(
    (r) => r.name === betResult && r.stage === stage && whyNotCompared(r) === null,
  );
  const cameBack = found.at(-1) ?? null;
  const answer = surfaceAnswer(runs, {
    densityGPerCm3,
    pairs,
    stage,
    now,
    ...(limits?.low == null ? {} : { betLow: limits.low }),
    ...(limits?.high == null ? {} : { betHigh: limits.high }),
    ...(cameBack === null ? {} : { betFound: cameBack.value }),
  });
  return { answer, now, limits, cameBack };
}
