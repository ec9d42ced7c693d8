import type { Given } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import { type AskedGround, askGroundedCheck } from "#api/queries/groundedCheck.ts";
import type { Problem } from "#distributions/problem.ts";
import type { Band } from "#model/band/band.ts";
import type { Stage } from "#model/lot/stages.ts";
import { runsOf } from "./entries/calibration.ts";
import type { SavedGround } from "./entries/ground.ts";
import type { Store } from "./store.ts";

/** What may be said of the question beside the lot; what is left out is as saved. */
export interface SavedCheckAsked {
  readonly stage: Stage | null;
  readonly band: Band | null;
  /** Checks of the instrument that win over those saved of it. */
  readonly checks: AskedGround["checks"] | null;
  readonly given: Given;
  readonly problems: readonly Problem[];
}

/**
 * The verdict on a saved lot, from all that is saved of it and of its material.
 *
 * @returns null when there is no such lot
 * @throws  UnusableInput  the stage has no runs that count, or no band applies
 */
export async function savedCheck(store: Store, lotId: number, asked: SavedCheckAsked) {
  const kept = await store.onSheet(lotId, asked.stage);
  if (kept === null) return null;
  const { stage, lot } = kept;
  const runs = kept.measurements.filter((m) => m.exclusionReason === null && m.stage === stage);
  if (stage === null || runs.length === 0)
    throw new UnusableInput(
      `${lot.name} has no runs${asked.stage === null ? "" : ` of ${asked.stage} powder`} that count. Bring in their table first.`,
      asked.stage ?? "no runs",
      "a stage with runs that count",
    );
  const band = asked.band ?? kept.band;
  if (band === null)
    throw new UnusableInput(
      `No band applies to ${lot.name}. Choose one of the lot, or give one.`,
      "no band",
      "a band",
    );
  const ground = await store.ground(lotId, { stage });
  if (ground === null) return null;
  const measurements = runs.map(({ portion, ...run }) => ({
    ...run,
    ...(portion === undefined ? {} : { portion: portion.name }),
  }));
  const answer = askGroundedCheck(
    { measurements, problems: asked.problems },
    band,
    { ...asked.given, stage },
    askedGround(ground, asked.checks ?? kept.checks),
  );
  return { lot: lot.name, stage, material: lot.material, band: band.name, ...answer };
}

/** The lots of a material that a verdict rests on, oldest first. */
export function askedGround(
  { lots, sentence, stage }: SavedGround,
  checks: NonNullable<AskedGround["checks"]>,
): AskedGround {
  return { sentence, checks, kept: lots.toReversed().map((lot) => runsOf(lot, stage)) };
}
