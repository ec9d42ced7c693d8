import { effect, signal } from "@preact/signals";
import type { SavedLot } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { address } from "./address.ts";
import { ask } from "./client.ts";
import { isLoaded, lots, pairs } from "./entries.ts";
import { lot, ownPairs, stageJudged } from "./selection.ts";

/** What the server found for the lot looked at, by stage: pairs follow from the results of other lots of its material. */
const found = signal<{ readonly lotId: number; readonly byStage: ReadonlyMap<string, readonly BetPair[]> }>({
  lotId: 0,
  byStage: new Map(),
});

/** The BET pairs that hold for a stage of a lot, as the report takes them; those typed for its material until they are here. */
export function calibrationPairs(of: SavedLot, stage: Stage): readonly BetPair[] {
  const { lotId, byStage } = found.value;
  const here = lotId === of.id ? byStage.get(stage) : undefined;
  return here ?? ownPairs(of.material).filter((pair) => pair.stage === stage);
}

/** Beside the stage looked at: what a plan predicts the area of. */
export const plannedStages = signal<readonly Stage[]>([]);

/** Where a predicted BET area is shown. */
const shownOn = ["lot", "wheel-plan"];

// Asks for the pairs of the lot looked at whenever it, or what is saved, changes, where they are shown.
let round = 0;
effect(() => {
  const of = lot.value;
  const stages = new Set<Stage>([...plannedStages.value, stageJudged.value ?? "re-fired"]);
  // Read so that a change of either asks anew.
  void [lots.value, pairs.value];
  if (!isLoaded.value || of === null || !shownOn.includes(address.value.page)) return;
  const mine = ++round;
  void Promise.all(
    [...stages].map(async (stage) => {
      const { pairs: own } = await ask("GET /api/lots/{id}/calibration", {
        params: { id: of.id },
        query: { stage },
      });
      return [stage, own] as const;
    }),
  ).then(
    (all) => {
      if (mine === round) found.value = { lotId: of.id, byStage: new Map(all) };
    },
    // Without the server what is typed goes on holding.
    () => {},
  );
});
