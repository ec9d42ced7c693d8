import { sha256 } from "#api/records/checksum.ts";
import type { Bodies } from "#api/records/kinds.ts";
import type {
  ReleaseInputs,
  SavedLot,
  SavedMeasurement,
  SavedResult,
  SavedStageRecord,
} from "#api/records/records.ts";
import { version } from "#api/version.ts";
import { withStated } from "#distributions/measurementMetadata.ts";
import type { ReportQuestion } from "#model/answers/report/report.ts";
import { reportAnswer } from "#model/answers/report/reportAnswer.ts";
import type { ReportLevel } from "#model/answers/report/reportLevels.ts";
import { stageSurface } from "#model/answers/surface/stageSurface.ts";
import type { Band } from "#model/band/band.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { notedMassG } from "#model/lot/notedMass.ts";
import { type Stage, stages as usualStages } from "#model/lot/stages.ts";
import type { MeasurandCheck } from "#model/release/readChecks.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { type ReportPage, reportHtml } from "./reportHtml.ts";

/** All that is kept about a lot and that its sheet rests on. */
export interface ReportInputs {
  readonly lot: SavedLot;
  readonly measurements: readonly SavedMeasurement[];
  /** The runs of each of the newest other lots of the material, oldest first. */
  readonly kept: readonly (readonly SavedMeasurement[])[];
  /** The lot's own, or the first that is kept. */
  /** The stage that was asked about, or the last; null where none has runs. */
  readonly stage: Stage | null;
  readonly band: Band | null;
  readonly stages: readonly SavedStageRecord[];
  readonly results: readonly SavedResult[];
  readonly pairs: readonly (BetPair & { readonly typed: boolean })[];
  /** Whose lots the pairs follow from; null without a stage to ask about. */
  readonly ground: NonNullable<ReleaseInputs["ground"]> | null;
  /** Of the instruments that the runs name. */
  readonly checks: readonly MeasurandCheck[];
}

/** Which report of a lot is wanted, and for a customer's: who issues it and for whom. */
export interface ReportAsked {
  readonly stage: Stage;
  readonly report: ReportLevel;
  readonly parties?: NonNullable<ReportQuestion["parties"]>;
  /** The lab's picture that heads it. */
  readonly logo?: Bodies["logo"] | null;
}

/**
 * The sheet of a stage of a lot from what is kept of it; runs set aside are left out.
 * @returns  null where the stage has no runs, or none that can be counted by volume
 */
export function buildReport(
  { lot, measurements, kept, band, stages: noted, results, pairs, ground, checks }: ReportInputs,
  { stage, report, parties = {}, logo = null }: ReportAsked,
): { html: string; hash: string; verdict: string; page: ReportPage } | null {
  const runsOf = (of: Stage, among = measurements) =>
    among
      .filter((m) => m.stage === of && m.exclusionReason === null)
      .map(({ file, name, distribution, howMeasured = {}, portion }) => ({
        file,
        name,
        distribution,
        ...withStated(howMeasured),
        ...(portion === undefined ? {} : { portion: portion.name }),
      }));
  const notedOf = (of: Stage) => noted.find((s) => s.stage === of) ?? { settings: [] };
  const massOf = (of: Stage) => {
    const grams = notedMassG(notedOf(of));
    return grams === null ? {} : { massG: grams };
  };
  const runs = runsOf(stage);
  if (runs.length === 0 || byVolume(runs).runs === null) return null;
  const { densityGPerCm3 } = lot;
  const asked: ReportQuestion = {
    lotName: lot.name,
    material: lot.material,
    stage,
    densityGPerCm3,
    runs,
    ...massOf(stage),
    others: lot.stages
      .map((one) => one.stage)
      .filter((s) => s !== stage && s !== "reference")
      .map((s) => ({ stage: s, runs: runsOf(s), ...massOf(s) }))
      .filter((s) => s.runs.length > 0),
    ...lineOf(lot),
    band,
    checks,
    kept: kept.map((runs) => runsOf(stage, runs)).filter((runs) => runs.length > 0),
    ...(ground === null || ground.lots.length === 0 ? {} : { ground: ground.sentence }),
    ...(pairs.length === 0 ? {} : { pairsFrom: pairsFrom(pairs) }),
    ahead: stageSurface({
      stage,
      densityGPerCm3,
      runs,
      settings: notedOf(stage).settings,
      pairs,
      results,
      band,
    }).answer.ahead,
    report,
    ...(report === "customer" ? { parties, ...toCustomer({ lot, measurements, results }, stage) } : {}),
  };
  const sheet = reportAnswer(asked);
  const hash = sha256(JSON.stringify(asked));
  const provenance = { hash, version, report, keptOn: lot.keptAt.slice(0, 10), logo };
  const html = reportHtml(sheet, provenance);
  return { html, hash, verdict: sheet.verdict, page: { sheet, provenance } };
}

/** What a lot went through, where its lab calls or orders it in its own way. */
function lineOf(lot: SavedLot): Pick<ReportQuestion, "line"> {
  const isUsual = lot.stages.every(
    ({ stage, name }) => name === undefined && usualStages.some((usual) => usual === stage),
  );
  return isUsual ? {} : { line: lot.stages.map(({ stage, name = stage }) => ({ stage, name })) };
}

/** What only a customer's report says: the days, and what else was measured on the stage. */
function toCustomer(
  { lot, measurements, results }: Pick<ReportInputs, "lot" | "measurements" | "results">,
  stage: Stage,
): Pick<ReportQuestion, "days" | "measured"> {
  const dates = measurements.flatMap(({ stage: of, exclusionReason, howMeasured }) =>
    of === stage && exclusionReason === null && howMeasured?.date !== undefined ? [howMeasured.date] : [],
  );
  const last = dates.toSorted().at(-1);
  return {
    days: {
      ...(lot.dateMade === null ? {} : { made: lot.dateMade }),
      ...(last === undefined ? {} : { measured: last }),
    },
    measured: results
      .filter((result) => result.stage === stage)
      .map(({ name, value, unit, uncertainty, method }) => ({
        name,
        value,
        unit,
        uncertainty,
        ...(method === undefined || method === "" ? {} : { method }),
      })),
  };
}

function pairsFrom(pairs: ReportInputs["pairs"]) {
  const typed = pairs.filter((pair) => pair.typed).length;
  return { lots: pairs.length - typed, typed };
}
