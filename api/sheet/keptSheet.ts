import type { ReportLevel } from "#model/answers/reportLevels.ts";
import { lastStage } from "#model/answers/sheetAnswer.ts";
import type { Stage } from "#model/stages.ts";
import { UnusableInput } from "../asking/words.ts";
import type { Store } from "../store/store.ts";
import { madeSheet, massesIn } from "./madeSheet.ts";

/**
 * The sheet of a kept lot, from the runs that count.
 * @param stage  the last with runs when left out
 * @returns      null when there is no such lot
 * @throws       UnusableInput  the stage has no runs that can be counted by volume
 */
export async function keptSheet(
  store: Store,
  lotId: number,
  asked: { readonly stage?: Stage | undefined; readonly report: ReportLevel },
): Promise<{ html: string; hash: string; stage: Stage; verdict: string } | null> {
  const found = await store.lot(lotId);
  if (found === null) return null;
  const stage = asked.stage ?? lastStage(found.measurements.filter((m) => m.asideBecause === null));
  const { bands } = await store.bands();
  const band = (bands.find((b) => b.id === found.lot.bandId) ?? bands[0])?.band ?? null;
  const massesG = massesIn((await store.card(lotId)).stages);
  const made =
    stage === null ? null : madeSheet({ ...found, band, massesG }, { stage, report: asked.report });
  if (stage === null || made === null)
    throw new UnusableInput(
      `${found.lot.name} has no runs ${asked.stage === undefined ? "" : `at the stage ${asked.stage} `}to print. Bring in their table first.`,
      asked.stage ?? "no runs",
      "a stage with runs that can be counted by volume",
    );
  return { ...made, stage };
}
