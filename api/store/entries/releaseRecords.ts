import { sha256 } from "#api/records/checksum.ts";
import type {
  ReleaseInputs,
  ReleaseRecord,
  Saved,
  SavedLot,
  SavedMeasurement,
  ShownReleaseRecord,
} from "#api/records/records.ts";
import type { ReportInputs } from "#api/report/buildReport.ts";
import { version } from "#api/version.ts";
import { withStated } from "#distributions/measurementMetadata.ts";
import { budgetAnswer } from "#model/answers/lot/budgetAnswer.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { releaseCheck } from "#model/answers/lot/releaseCheck.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { PortionRun } from "#model/release/portions.ts";
import { onWire } from "#model/words/wireWords.ts";

/**
 * The server's own number: what is frozen is computed here, from the runs and the band that are frozen with it and from
 * the runs of its ground, as the sheet beside it and `check` compute it.
 */
function answersTo(
  { runs, band, densityGPerCm3, checks }: ReleaseInputs,
  kept: readonly (readonly PortionRun[])[],
): unknown {
  const answers = {
    check: band === null ? null : releaseCheck(runs, band, { kept }),
    describe: describeAnswer(runs, { percentiles: [10, 50, 90], densityGPerCm3 }),
    // Records of before have no budget.
    ...(checks === undefined ? {} : { budget: budgetAnswer(runs, { densityGPerCm3, kept, checks }) }),
  };
  return JSON.parse(JSON.stringify(answers));
}

/** What an answer about a stage of a lot rests on today. */
export function inputsOf(
  lot: SavedLot,
  stage: Stage,
  { measurements, band, ground, checks }: Pick<ReportInputs, "measurements" | "band" | "ground" | "checks">,
): ReleaseInputs {
  const runs = measurements.filter((m) => m.stage === stage && m.exclusionReason === null);
  return {
    lotName: lot.name,
    stage,
    densityGPerCm3: lot.densityGPerCm3,
    runs: runs.map(asMeasured),
    band,
    ...(ground === null ? {} : { ground }),
    checks: [...checks],
  };
}

/** A saved run as a question takes it, with the name of its portion. */
export function asMeasured({ file, name, distribution, howMeasured = {}, portion }: SavedMeasurement) {
  return {
    file,
    name,
    distribution,
    ...withStated(howMeasured),
    ...(portion === undefined ? {} : { portion: portion.name }),
  };
}

/** @param told  when, under which name and note, and the page that was printed; null where none was */
export function releaseRecord(
  { inputs, kept }: { readonly inputs: ReleaseInputs; readonly kept: readonly (readonly PortionRun[])[] },
  entered: {
    readonly lotId: number;
    readonly name: string;
    readonly note: string;
    readonly at: string;
    readonly html: string | null;
  },
): ReleaseRecord {
  const { lotId, name, note, at, html } = entered;
  const answered = { modelVersion: version, inputs, result: answersTo(inputs, kept) };
  const sheet = html === null ? null : { html, sha256: sha256(html) };
  return { lotId, name, note, releasedAt: at, ...answered, hash: hashOf(answered), sheet };
}

/**
 * A frozen answer beside today's answer from the same inputs.
 *
 * @param today  null when the lot is gone
 * @param taught  the runs of its ground, as they are today
 */
export function shown(
  { id, version: event, body }: Saved<"frozen">,
  today: ReleaseInputs | null,
  taught: TaughtToday,
): Omit<ShownReleaseRecord, "signatureState"> {
  const result = answersTo(body.inputs, taught.kept);
  return {
    released: { id, version: event, ...body },
    again: { modelVersion: version, result, differences: differencesOf(body.result, result, "") },
    changedInputs: [...changedOf(body.inputs, today), ...taught.changed],
  };
}

/** The runs that taught a frozen answer, lot by lot, as they are today; and what became of them otherwise, as clauses. */
export interface TaughtToday {
  readonly kept: readonly (readonly PortionRun[])[];
  readonly changed: readonly string[];
}

/** @param runs  those of the ground that are still there */
export function taughtToday(ground: ReleaseInputs["ground"], runs: readonly SavedMeasurement[]): TaughtToday {
  const byId = new Map(runs.map((run) => [run.id, run]));
  const then = (ground?.lots ?? []).map((lot) => lot.runs ?? []);
  const kept = then.map((of) => of.flatMap(({ id }) => byId.get(id) ?? []));
  const isAsThen = then.every((of) => of.every(({ id, version }) => byId.get(id)?.version === version));
  return {
    kept: kept
      .map((of) => of.filter((run) => run.exclusionReason === null).map(asMeasured))
      .filter((of) => of.length > 0),
    changed: isAsThen ? [] : ["runs of the lots that taught it changed"],
  };
}

/** Whether model version, inputs and result still give the hash, and the sheet its own. */
export function hashHolds({ modelVersion, inputs, result, hash, sheet }: ReleaseRecord): boolean {
  const isSheetWhole = sheet === null || sha256(sheet.html) === sheet.sha256;
  return isSheetWhole && hashOf({ modelVersion, inputs, result }) === hash;
}

function hashOf(answered: Pick<ReleaseRecord, "modelVersion" | "inputs" | "result">): string {
  return sha256(onWire(JSON.stringify(answered)));
}

const maxDifferences = 50;

function differencesOf(
  released: unknown,
  now: unknown,
  field: string,
): ShownReleaseRecord["again"]["differences"] {
  if (JSON.stringify(released) === JSON.stringify(now)) return [];
  const [a, b] = [partsOf(released), partsOf(now)];
  if (a === null || b === null) return [{ field, released: released ?? null, now: now ?? null }];
  return [...new Set([...Object.keys(a), ...Object.keys(b)])]
    .flatMap((name) => differencesOf(a[name], b[name], field === "" ? name : `${field}.${name}`))
    .slice(0, maxDifferences);
}

function partsOf(value: unknown): Record<string, unknown> | null {
  return typeof value === "object" && value !== null ? { ...value } : null;
}

/** What is otherwise today, each a clause after "since then". */
function changedOf(then: ReleaseInputs, today: ReleaseInputs | null): string[] {
  if (today === null) return ["the lot was deleted"];
  const isSame = (a: unknown, b: unknown) => JSON.stringify(a) === JSON.stringify(b);
  return [
    ...(isSame(then.runs, today.runs)
      ? []
      : [`the runs changed: ${then.runs.length} then, ${today.runs.length} now`]),
    ...(isSame(then.band, today.band) ? [] : [bandChange(then.band, today.band)]),
    ...(then.densityGPerCm3 === today.densityGPerCm3 ? [] : ["the density of the solid changed"]),
  ];
}

function bandChange(then: ReleaseInputs["band"], today: ReleaseInputs["band"]): string {
  if (then === null) return "a band applies: then the lot was checked against none";
  if (today === null) return "no band applies any more";
  return then.name === today.name
    ? "the band changed"
    : `the band is "${today.name}", no longer "${then.name}"`;
}
