import type { SavedLot, SavedResult } from "#api/records/records.ts";
import { stageSurface } from "#model/answers/surface/stageSurface.ts";
import { finestCarrying, type SurfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import type { BetLimits } from "#model/band/band.ts";
import type { Stage } from "#model/lot/stages.ts";
import { areaBars } from "#model/pictures/areaBars.ts";
import type { Picture } from "#model/pictures/picture.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { isItsOwn } from "#model/surface/predictedBet.ts";
import { type CalibrationMetadata, staleness } from "#model/surface/stale.ts";
import { calibrationPairs } from "#ui/data/calibration.ts";
import type { Card } from "#ui/data/card.ts";
import { measurements } from "#ui/data/entries.ts";
import { bandFor } from "#ui/data/selection.ts";

/** The predicted BET area of a stage of a lot, and what it rests on. */
export interface PredictedBetState {
  readonly answer: SurfaceAnswer;
  readonly geometricM2PerG: number | null;
  readonly now: CalibrationMetadata;
  readonly limits: BetLimits | null;
  /** The latest BET area measured for the stage; null while there is none. */
  readonly cameBack: SavedResult | null;
  /** Pairs of the stage, in what each was measured differently, and whether it is that of the measured value. */
  readonly pairs: readonly {
    readonly pair: BetPair;
    readonly differing: readonly string[];
    readonly isOwn: boolean;
  }[];
  /** Sizes below which so much of the area lies. */
  readonly carrying: readonly { readonly share: number; readonly belowUm: number }[];
  readonly draw: (width: number) => Picture | null;
}

/** @returns null where the stage has no runs */
export function predictedBetOf(lot: SavedLot, stage: Stage, card: Card): PredictedBetState | null {
  const runs = (measurements.value.get(lot.id) ?? []).filter((m) => m.stage === stage);
  if (runs.length === 0) return null;
  const pairs = calibrationPairs(lot, stage);
  const { answer, now, limits, cameBack } = stageSurface({
    stage,
    densityGPerCm3: lot.densityGPerCm3,
    runs,
    settings: card.stages.find((s) => s.stage === stage)?.settings ?? [],
    pairs,
    results: card.results,
    band: bandFor(lot)?.band ?? null,
  });
  const { bySize } = answer;
  const carrying = [0.1, 0.25, 0.5, 0.75, 0.9].flatMap((share) => {
    const at = finestCarrying(bySize, share);
    return at === null ? [] : [{ share: at.share, belowUm: at.belowUm }];
  });
  return {
    answer,
    geometricM2PerG: answer.overRuns.value,
    now,
    limits,
    cameBack,
    pairs: pairs.map((pair) => ({
      pair,
      differing: staleness(pair, now),
      isOwn: isItsOwn(pair, answer.overRuns.value, cameBack?.value ?? null),
    })),
    carrying,
    draw: (width) => areaBars(bySize, "Share of the area that each size carries, over size", width),
  };
}
