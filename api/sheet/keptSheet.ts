import { withStated } from "#distributions/howMeasured.ts";
import type { ReportLevel } from "#model/answers/reportLevels.ts";
import { lastStage, sheetAnswer } from "#model/answers/sheetAnswer.ts";

import { type Stage, stages } from "#model/stages.ts";
import { UnusableInput } from "../asking/words.ts";
import { sha256 } from "../store/checksum.ts";
import type { Store } from "../store/store.ts";
import { version } from "../version.ts";
import { sheetHtml } from "./sheetHtml.ts";

/**
 * The sheet of a kept lot, from the runs that count.
 * @param stage  the last with runs when left out
 * @returns      null when there is no such lot
 * @throws       UnusableInput  the stage has no runs
 */
export async function keptSheet(
  store: Store,
  lotId: number,
  asked: { readonly stage?: Stage | undefined; readonly report: ReportLevel },
): Promise<{ html: string; hash: string; stage: Stage; verdict: string } | null> {
  const found = await store.lot(lotId);
  if (found === null) return null;
  const counting = found.measurements.filter((m) => m.asideBecause === null);
  const stage = asked.stage ?? lastStage(counting);
  const runsOf = (of: Stage) =>
    counting
      .filter((m) => m.stage === of)
      .map(({ file, name, distribution, howMeasured = {} }) => ({
        file,
        name,
        distribution,
        ...withStated(howMeasured),
      }));
  const runs = stage === null ? [] : runsOf(stage);
  if (stage === null || runs.length === 0)
    throw new UnusableInput(
      `${found.lot.name} has no runs ${asked.stage === undefined ? "" : `at the stage ${asked.stage} `}to print. Bring in their table first.`,
      asked.stage ?? "no runs",
      "a stage with runs",
    );
  const { bands } = await store.bands();
  const band = (bands.find((b) => b.id === found.lot.bandId) ?? bands[0])?.band ?? null;
  const sheet = sheetAnswer({
    lotName: found.lot.name,
    material: found.lot.material,
    stage,
    densityGPerCm3: found.lot.densityGPerCm3,
    runs,
    others: stages
      .filter((s) => s !== stage && s !== "reference")
      .map((s) => ({ stage: s, runs: runsOf(s) }))
      .filter((s) => s.runs.length > 0),
    band,
    report: asked.report,
  });
  const hash = sha256(JSON.stringify({ runs, band }));
  const keptOn = found.lot.keptAt.slice(0, 10);
  const html = sheetHtml(sheet, { hash, version, report: asked.report, keptOn });
  return { html, hash, stage, verdict: sheet.verdict };
}
