import { NoSuchEntry } from "#api/records/faults.ts";
import { labelsHtml } from "#api/report/labelsHtml.ts";
import { type Label, labelText } from "#model/answers/report/labelText.ts";
import { lastStage } from "#model/answers/report/reportAnswer.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { Store } from "./store.ts";

/**
 * Labels for the jars of these lots, as a page that prints.
 *
 * @param stage  left out, the last with runs of each
 * @throws NoSuchEntry, UnusableInput  the material has no such stage
 */
export async function savedLabels(
  store: Store,
  lotIds: readonly number[],
  stage: Stage | undefined,
): Promise<{ html: string; labels: readonly Label[] }> {
  const labels: Label[] = [];
  for (const id of lotIds) {
    const kept = await store.onSheet(id, stage ?? null);
    if (kept === null) throw new NoSuchEntry("lot", id);
    const { lot, measurements } = kept;
    const of = kept.stage ?? lastStage(lot.stages);
    const runs = measurements.filter((m) => m.stage === of && m.exclusionReason === null);
    labels.push(
      labelText({
        lotName: lot.name,
        material: lot.material,
        stage: of ?? "no runs yet",
        runs,
        madeOn: lot.dateMade,
        measuredOn:
          runs.map((m) => m.howMeasured?.date ?? m.portion?.day ?? null).findLast((day) => day !== null) ??
          null,
        state: lot.state.name,
      }),
    );
  }
  return { html: labelsHtml(labels), labels };
}
