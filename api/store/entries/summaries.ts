import type { Kysely } from "kysely";
import type { KeptSummary } from "#api/contract/summaries.ts";
import { askVerdict } from "#api/queries/powder.ts";
import { checksumOf } from "#api/records/checksum.ts";
import type { Saved } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, soundIn } from "#api/store/ledger/entries.ts";
import { version as modelVersion } from "#api/version.ts";
import { withStated } from "#distributions/measurementMetadata.ts";
import { lotSizes } from "#model/answers/lot/lotSizes.ts";
import { type StageSurface, stageSurface } from "#model/answers/surface/stageSurface.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { mostTeachingLots } from "#model/lot/ground.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import { withTyped } from "#model/surface/linkedPair.ts";
import { type KeptPair, linkedPairs, runsOf, typedOfStage } from "./calibration.ts";
import { groundFor, groundWithout, type KeptGround } from "./ground.ts";
import { heldAgainst } from "./heldAgainst.ts";

/** What the lots of a material teach about a stage, read once for all lots that are asked about after the same event. */
interface Teaching {
  readonly ground: KeptGround;
  readonly linked: readonly KeptPair[];
  readonly typed: readonly KeptPair[];
}
export type Teachings = Map<string, Promise<Teaching>>;

/** What was computed of a lot, and the stage a list shows of it: the band's where it has runs, else the furthest. */
export interface LotComputed {
  readonly lotId: number;
  readonly bandId: number | null;
  readonly shown: Stage | null;
  readonly stages: readonly KeptSummary[];
}

/**
 * Computes every stage of a lot that has runs; null where the lot is gone.
 *
 * @param event      the last event before anything was read
 * @param teachings  of the same event; filled on the way
 * @throws DamagedEntry
 */
export async function summariesOf(
  db: Kysely<Tables>,
  lotId: number,
  event: number,
  teachings: Teachings,
): Promise<LotComputed | null> {
  const lot = await entryOf(db, "lot", lotId);
  if (lot === null) return null;
  const band = await heldAgainst(db, lot.body);
  const runs = soundIn(await entriesOf(db, "measurement", lotId)).filter(
    ({ body }) => body.exclusionReason === null,
  );
  const noted = soundIn(await entriesOf(db, "stage", lotId)).map(({ body }) => body);
  const results = soundIn(await entriesOf(db, "result", lotId)).map(({ body }) => body);
  const known = stages.filter((stage) => runs.some(({ body }) => body.stage === stage));
  const summaries: KeptSummary[] = [];
  for (const stage of known) {
    const asked = { material: lot.body.material, stage };
    const key = JSON.stringify(asked);
    const taught = teachings.get(key) ?? teachingOf(db, asked);
    teachings.set(key, taught);
    const settings = noted.find((one) => one.stage === stage)?.settings ?? [];
    const own = runs.filter(({ body }) => body.stage === stage);
    summaries.push(summaryOf({ lot, stage, own, settings, results, band, event }, await taught));
  }
  const ofBand = known.find((stage) => stage === band?.body.stage);
  const furthest = known.findLast((stage) => stage !== "reference") ?? known.at(-1) ?? null;
  return { lotId, bandId: band?.id ?? null, shown: ofBand ?? furthest, stages: summaries };
}

async function teachingOf(
  db: Kysely<Tables>,
  asked: { readonly material: string; readonly stage: Stage },
): Promise<Teaching> {
  // One more than teach, since the lot that is asked about may be among them.
  const ground = await groundFor(db, { ...asked, most: mostTeachingLots + 1 });
  return {
    ground,
    linked: await linkedPairs(db, ground, asked.stage),
    typed: await typedOfStage(db, asked),
  };
}

interface Asked {
  readonly lot: Saved<"lot">;
  readonly stage: Stage;
  readonly own: readonly Saved<"measurement">[];
  readonly settings: Saved<"stage">["body"]["settings"];
  readonly results: readonly Saved<"result">["body"][];
  readonly band: Saved<"band"> | null;
  readonly event: number;
}

function summaryOf(asked: Asked, { ground: ofAll, linked, typed }: Teaching): KeptSummary {
  const { lot, stage, own, settings, results, band, event } = asked;
  const ground = groundWithout(ofAll, lot.id, stage);
  const teachers = new Set(ground.lots.map(({ id }) => id));
  const pairs = withTyped(
    linked.filter(({ lotId }) => lotId !== null && teachers.has(lotId)),
    typed,
  );
  const { densityGPerCm3 } = lot.body;
  const runs = own.map(({ body: { file, name, distribution, howMeasured = {}, portion } }) => ({
    file,
    name,
    distribution,
    ...withStated(howMeasured),
    ...(portion === undefined ? {} : { portion: portion.name }),
  }));
  const checked =
    band === null
      ? null
      : askVerdict(runs, band.body, stage, {
          rule: band.body.rule,
          kept: ground.lots.toReversed().map((one) => runsOf(one, stage)),
        });
  const surface =
    byVolume(runs).runs === null
      ? null
      : stageSurface({
          stage,
          densityGPerCm3,
          runs,
          settings,
          pairs,
          results,
          band: band?.body ?? null,
        });
  const fromRuns = checked?.release?.fromRuns;
  const sizes = lotSizes(runs);
  return {
    stage,
    runs: runs.length,
    verdict: checked?.verdict ?? null,
    isFinal: checked !== null && checked.gap === null,
    sentence: checked?.sentence ?? "No band applies.",
    chance: fromRuns === undefined ? null : { value: fromRuns.all, isAtLeast: fromRuns.isAtLeast },
    d10Um: known(sizes?.d10Um),
    d50Um: known(sizes?.d50Um),
    d90Um: known(sizes?.d90Um),
    areaM2PerG: known(surface?.answer.overRuns),
    betM2PerG: betOf(surface),
    basis: {
      runs: checksumOf(...own.flatMap(({ id, version }) => [id, version])),
      band: band === null ? null : { id: band.id, version: band.version },
      ground: {
        sentence: ground.sentence,
        lots: ground.lots.length,
        checksum: checksumOf(
          ...ground.lots.flatMap((one) => [one, ...one.runs].flatMap(({ id, version }) => [id, version])),
        ),
      },
      modelVersion,
      event,
    },
  };
}

function known(
  found:
    | { readonly value: number | null; readonly low: number | null; readonly high: number | null }
    | undefined,
): KeptSummary["d50Um"] {
  if (found === undefined || found.value === null) return null;
  return { value: found.value, low: found.low, high: found.high };
}

/** The latest measured value of the stage, else the predicted one. */
function betOf(surface: StageSurface<Saved<"result">["body"]> | null): KeptSummary["betM2PerG"] {
  const measured = surface?.cameBack ?? null;
  if (measured !== null) return { value: measured.value, low: null, high: null, is: "measured" };
  const ahead = surface?.answer.ahead ?? null;
  if (ahead === null) return null;
  return { value: ahead.median, low: ahead.low, high: ahead.high, is: "predicted" };
}
