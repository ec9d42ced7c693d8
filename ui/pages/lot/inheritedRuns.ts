import type { SavedLot } from "#api/records/records.ts";
import { inheritedStages } from "#model/lot/lineage.ts";
import { inProcessOrder } from "#model/lot/processSteps.ts";
import { stages } from "#model/lot/stages.ts";
import { lots } from "#ui/data/entries.ts";
import { stagesOf } from "#ui/data/selection.ts";
import { stepsOf } from "#ui/data/steps.ts";

/** The inherited stages of a lot with what was measured of them, as far as its parents are here. */
export function inheritedRuns(lot: SavedLot) {
  const known = new Map(lots.value.map((one) => [one.id, one]));
  const steps = stepsOf(lot.material);
  const order = inProcessOrder(steps, [...steps.map(({ id }) => id), ...stages]);
  return inheritedStages(lot, known, order).flatMap(({ lotId, stage }) => {
    const of = known.get(lotId);
    const found = of === undefined ? undefined : stagesOf(of).find((one) => one.stage === stage);
    return of === undefined || found === undefined ? [] : [{ of, ...found }];
  });
}
