import { computed, effect, signal } from "@preact/signals";
import type { SavedLot, SavedMeasurement } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask, fetchBeside } from "./client.ts";
import { fetchRuns, isLoaded, lots, measurements } from "./entries.ts";
import { lot, stageJudged } from "./selection.ts";

// Whose lots teach is said by the server alone, for the page as for report, command line and API: the page asks for it
// and fetches the runs of those lots, whatever else it has loaded.

/** Whose lots teach about a stage of a lot; a plan for the next lot learns from the lot itself too. */
interface GroundAsked {
  readonly lotId: number;
  readonly stage: Stage;
  readonly withItself?: boolean;
}

/** The lots of each question asked, oldest first. */
const found = signal<ReadonlyMap<string, readonly number[]>>(new Map());
/** What was saved when each was asked. */
const askedOf = new Map<string, readonly SavedLot[]>();

const keyOf = ({ lotId, stage, withItself = false }: GroundAsked) => `${lotId} ${withItself} ${stage}`;

/** Asks whose lots teach, once for what is saved, and fetches their runs. */
export function askGround(asked: GroundAsked): void {
  const [key, of] = [keyOf(asked), lots.value];
  if (!isLoaded.value || askedOf.get(key) === of) return;
  askedOf.set(key, of);
  const take = (ids: readonly number[]) => {
    if (askedOf.get(key) === of) found.value = new Map([...found.value, [key, ids]]);
  };
  void fetchBeside(async () => {
    const { lotId, stage, withItself = false } = asked;
    const ground = await ask("GET /api/lots/{id}/ground", {
      params: { id: lotId },
      query: { stage, ...(withItself ? { withItself: "true" } : {}) },
    });
    const ids = ground.lots.map(({ id }) => id).toReversed();
    await fetchRuns(ids);
    take(ids);
  }).then((isHere) => {
    // What went wrong is said; the page goes on with what it has.
    if (!isHere && !found.value.has(key)) take([]);
  });
}

/** Whether it is known whose lots teach, and their runs are here: until then an answer would rest on some of them. */
export const isGroundHere = (asked: GroundAsked): boolean => found.value.has(keyOf(asked));

/** The runs of the stage that count, of each lot that teaches, oldest first; those whose runs are here. */
export function taughtRuns(
  asked: GroundAsked,
): readonly { readonly lotId: number; readonly runs: readonly SavedMeasurement[] }[] {
  return (found.value.get(keyOf(asked)) ?? [])
    .map((lotId) => ({
      lotId,
      runs: (measurements.value.get(lotId) ?? []).filter((run) => run.stage === asked.stage),
    }))
    .filter(({ runs }) => runs.length > 0);
}

/** What is asked about the runs that are looked at; null without a lot. */
const judged = computed<GroundAsked | null>(() =>
  lot.value === null || stageJudged.value === null ? null : { lotId: lot.value.id, stage: stageJudged.value },
);

effect(() => {
  if (judged.value !== null) askGround(judged.value);
});

/** Whether what the lots that teach say of the runs looked at can be said. */
export const isTaught = computed(() => judged.value === null || isGroundHere(judged.value));

/** The lots that teach about the runs looked at, oldest first. */
export const teachers = computed(() => (judged.value === null ? [] : taughtRuns(judged.value)));

/** Their runs of the stage judged, lot by lot. */
export const keptRuns = computed(() => teachers.value.map(({ runs }) => runs));
