import { withStated } from "#distributions/howMeasured.ts";
import type { ReportLevel } from "#model/answers/reportLevels.ts";
import type { SheetAsked } from "#model/answers/sheet.ts";
import { sheetAnswer } from "#model/answers/sheetAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { byVolume } from "#model/band/byVolume.ts";
import { type Stage, stages } from "#model/stages.ts";
import type { KeptLot, KeptMeasurement, KeptStage } from "../records.ts";
import { sha256 } from "../store/checksum.ts";
import { version } from "../version.ts";
import { sheetHtml } from "./sheetHtml.ts";

/**
 * The sheet of a stage of a lot from what is kept of it.
 * @param measurements  all of the lot; those set aside are left out
 * @returns             null where the stage has no runs, or none that can be counted by volume
 */
export function madeSheet(
  kept: {
    readonly lot: KeptLot;
    readonly measurements: readonly KeptMeasurement[];
    readonly band: Band | null;
    /** Grams of powder by stage, where they were noted. */
    readonly massesG?: Readonly<Record<string, number>>;
  },
  { stage, report }: { readonly stage: Stage; readonly report: ReportLevel },
): { html: string; hash: string; verdict: string } | null {
  const { lot, band, massesG = {} } = kept;
  const runsOf = (of: Stage) =>
    kept.measurements
      .filter((m) => m.stage === of && m.asideBecause === null)
      .map(({ file, name, distribution, howMeasured = {} }) => ({
        file,
        name,
        distribution,
        ...withStated(howMeasured),
      }));
  const massOf = (of: Stage) => (massesG[of] === undefined ? {} : { massG: massesG[of] });
  const runs = runsOf(stage);
  if (runs.length === 0 || byVolume(runs).runs === null) return null;
  const asked: SheetAsked = {
    lotName: lot.name,
    material: lot.material,
    stage,
    densityGPerCm3: lot.densityGPerCm3,
    runs,
    ...massOf(stage),
    others: stages
      .filter((s) => s !== stage && s !== "reference")
      .map((s) => ({ stage: s, runs: runsOf(s), ...massOf(s) }))
      .filter((s) => s.runs.length > 0),
    band,
    report,
  };
  const sheet = sheetAnswer(asked);
  const hash = sha256(JSON.stringify({ runs, band }));
  const html = sheetHtml(sheet, { hash, version, report, keptOn: lot.keptAt.slice(0, 10) });
  return { html, hash, verdict: sheet.verdict };
}

/** The grams of powder at each stage, from its settings. */
export function massesIn(kept: readonly KeptStage[]): Record<string, number> {
  return Object.fromEntries(
    kept.flatMap(({ stage, settings }) => {
      const noted = settings.find((s) => s.name.trim().toLowerCase() === "mass" && s.unit.trim() === "g");
      const grams = Number(noted?.value.replace(",", ".") ?? Number.NaN);
      return grams > 0 ? [[stage, grams]] : [];
    }),
  );
}
