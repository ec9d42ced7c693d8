import { sha256 } from "#api/records/checksum.ts";
import type {
  ReleaseInputs,
  ReleaseRecord,
  Saved,
  SavedLot,
  SavedMeasurement,
  ShownReleaseRecord,
} from "#api/records/records.ts";
import { version } from "#api/version.ts";
import { withStated } from "#distributions/measurementMetadata.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import type { Stage } from "#model/lot/stages.ts";

/** The server's own number: what is frozen is computed here, from what is kept. */
function answersTo({ runs, band, densityGPerCm3 }: ReleaseInputs): unknown {
  const answers = {
    check: band === null ? null : checkAnswer(runs, band),
    describe: describeAnswer(runs, { percentiles: [10, 50, 90], densityGPerCm3 }),
  };
  return JSON.parse(JSON.stringify(answers));
}

/** What an answer about a stage of a lot rests on today. */
export function inputsOf(
  lot: SavedLot,
  stage: Stage,
  all: readonly SavedMeasurement[],
  band: ReleaseInputs["band"],
): ReleaseInputs {
  const runs = all.filter((m) => m.stage === stage && m.asideBecause === null);
  return {
    lotName: lot.name,
    stage,
    densityGPerCm3: lot.densityGPerCm3,
    runs: runs.map(({ file, name, distribution, howMeasured = {} }) => ({
      file,
      name,
      distribution,
      ...withStated(howMeasured),
    })),
    band,
  };
}

export function freeze(
  lotId: number,
  inputs: ReleaseInputs,
  told: { readonly name: string; readonly note: string },
  at: string,
  html: string | null,
): ReleaseRecord {
  const answered = { modelVersion: version, inputs, result: answersTo(inputs) };
  const sheet = html === null ? null : { html, sha256: sha256(html) };
  return { lotId, ...told, frozenAt: at, ...answered, hash: hashOf(answered), sheet };
}

/** A frozen answer beside today's answer from the same inputs. @param today  null when the lot is gone */
export function shown(
  { id, version: event, body }: Saved<"frozen">,
  today: ReleaseInputs | null,
): ShownReleaseRecord {
  const result = answersTo(body.inputs);
  return {
    frozen: { id, version: event, ...body },
    again: { modelVersion: version, result, differences: differencesOf(body.result, result, "") },
    changedInputs: changedOf(body.inputs, today),
  };
}

/** Whether model version, inputs and result still give the hash, and the sheet its own. */
export function hashHolds({ modelVersion, inputs, result, hash, sheet }: ReleaseRecord): boolean {
  const isSheetWhole = sheet === null || sha256(sheet.html) === sheet.sha256;
  return isSheetWhole && hashOf({ modelVersion, inputs, result }) === hash;
}

function hashOf(answered: Pick<ReleaseRecord, "modelVersion" | "inputs" | "result">): string {
  return sha256(JSON.stringify(answered));
}

const mostDifferences = 50;

function differencesOf(
  frozen: unknown,
  now: unknown,
  field: string,
): ShownReleaseRecord["again"]["differences"] {
  if (JSON.stringify(frozen) === JSON.stringify(now)) return [];
  const [a, b] = [partsOf(frozen), partsOf(now)];
  if (a === null || b === null) return [{ field, frozen: frozen ?? null, now: now ?? null }];
  return [...new Set([...Object.keys(a), ...Object.keys(b)])]
    .flatMap((name) => differencesOf(a[name], b[name], field === "" ? name : `${field}.${name}`))
    .slice(0, mostDifferences);
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
  if (then === null) return "a band applies: then the lot was held against none";
  if (today === null) return "no band applies any more";
  return then.name === today.name
    ? "the band changed"
    : `the band is "${today.name}", no longer "${then.name}"`;
}
