import type { Kysely } from "kysely";
import type { KeptSummary } from "#api/contract/summaries.ts";
import { askVerdict } from "#api/queries/powder.ts";
import { checksumOf } from "#api/records/checksum.ts";
import type { Bodies } from "#api/records/kinds.ts";
import type { Saved } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, soundIn } from "#api/store/ledger/entries.ts";
import { version as modelVersion } from "#api/version.ts";
import { curveOf, meanCurve } from "#distributions/curve.ts";
import { withStated } from "#distributions/measurementMetadata.ts";
import { lotSizes } from "#model/answers/lot/lotSizes.ts";
import { standingOf } from "#model/answers/lot/standing.ts";
import { type StageSurface, stageSurface } from "#model/answers/surface/stageSurface.ts";
import type { Band } from "#model/band/band.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { maxGroundLots } from "#model/lot/ground.ts";
import { inProcessOrder, isBeforeRefiring } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import { pairOfCurves } from "#model/mill/prediction/refiredCurve.ts";
import { type GrowthByPercent, growthByPercent } from "#model/mill/prediction/refiringGrowth.ts";
import { withTyped } from "#model/surface/linkedPair.ts";
import { type KeptPair, linkedPairs, runsOf, typedOfStage } from "./calibration.ts";
import { groundFor, groundWithout, type SavedGround } from "./ground.ts";
import { heldAgainst } from "./heldAgainst.ts";
import { stepsOf } from "./stageOfLot.ts";

/** What the lots of a material teach about a stage, read once for all lots that are asked about after the same event. */
interface Teaching {
  readonly ground: SavedGround;
  readonly linked: readonly KeptPair[];
  readonly typed: readonly KeptPair[];
}
/** By material and stage; and what re-firing did to the lots of a material. */
export interface Teachings {
  readonly ofStage: Map<string, Promise<Teaching>>;
  readonly growths: Map<string, Promise<GrowthByPercent | null>>;
}
export const noTeachings = (): Teachings => ({ ofStage: new Map(), growths: new Map() });

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
  const steps = await stepsOf(db, lot.body.material);
  const known = inProcessOrder(
    steps,
    runs.map(({ body }) => body.stage),
  );
  const summaries: KeptSummary[] = [];
  for (const stage of known) {
    const taught = taughtOf(db, { material: lot.body.material, stage }, teachings);
    const settings = noted.find((one) => one.stage === stage)?.settings ?? [];
    const own = runs.filter(({ body }) => body.stage === stage);
    summaries.push(summaryOf({ lot, stage, own, settings, results, band, event }, await taught));
  }
  const ofBand = known.find((stage) => stage === band?.body.stage);
  const furthest = known.findLast((stage) => stage !== "reference") ?? known.at(-1) ?? null;
  const shown = ofBand ?? furthest;
  const own = runs.filter(({ body }) => body.stage === shown).map(({ body }) => body);
  const isOnItsWay = shown !== null && band !== null && isBeforeRefiring(steps, shown, band.body.stage);
  const ahead = isOnItsWay ? { material: lot.body.material, milled: shown, refired: band.body.stage } : null;
  const growth = ahead === null ? null : await growthOf(db, ahead, teachings);
  const standing = shown === null ? null : standingOn(shown, own, { band: band?.body ?? null, growth });
  return {
    lotId,
    bandId: band?.id ?? null,
    shown,
    stages: summaries.map((one) => (one.stage === shown && standing !== null ? { ...one, standing } : one)),
  };
}

/** How the lot stands as a line among others. */
function standingOn(
  stage: Stage,
  own: readonly Bodies["measurement"][],
  by: { readonly band: Band | null; readonly growth: GrowthByPercent | null },
): Required<KeptSummary>["standing"] | null {
  const found = standingOf([{ stage, runs: own }], by.band, by.growth);
  if (found === null) return null;
  const { verdict, reason, isPredicted, rows } = found;
  const days = own.flatMap(({ howMeasured }) => howMeasured?.date ?? []).toSorted();
  return { verdict, reason, isPredicted, rows, measuredOn: days.at(-1) ?? null };
}

function taughtOf(
  db: Kysely<Tables>,
  asked: { readonly material: string; readonly stage: Stage },
  { ofStage }: Teachings,
): Promise<Teaching> {
  const key = JSON.stringify(asked);
  const taught = ofStage.get(key) ?? teachingOf(db, asked);
  ofStage.set(key, taught);
  return taught;
}

/** What re-firing did to the lots of a material that teach both stages. */
function growthOf(
  db: Kysely<Tables>,
  asked: { readonly material: string; readonly milled: Stage; readonly refired: Stage },
  teachings: Teachings,
): Promise<GrowthByPercent | null> {
  const { material } = asked;
  const key = JSON.stringify(asked);
  const known = teachings.growths.get(key);
  if (known !== undefined) return known;
  const both = Promise.all([
    taughtOf(db, { material, stage: asked.milled }, teachings),
    taughtOf(db, { material, stage: asked.refired }, teachings),
  ]);
  const growth = both.then(([milled, refired]) => {
    const before = new Map(milled.ground.lots.map((lot) => [lot.id, lot]));
    return growthByPercent(
      refired.ground.lots.toReversed().flatMap((lot) => {
        const own = before.get(lot.id);
        const pair =
          own === undefined ? null : pairOfCurves(lot.name, curveOver(own.runs), curveOver(lot.runs));
        return pair ?? [];
      }),
    );
  });
  teachings.growths.set(key, growth);
  return growth;
}

const curveOver = (runs: readonly Saved<"measurement">[]) =>
  meanCurve(runs.map(({ body }) => curveOf(body.distribution)));

async function teachingOf(
  db: Kysely<Tables>,
  asked: { readonly material: string; readonly stage: Stage },
): Promise<Teaching> {
  // One more than teach, since the lot that is asked about may be among them.
  const ground = await groundFor(db, { ...asked, most: maxGroundLots + 1 });
  return {
    ground,
    linked: await linkedPairs(db, ground),
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
  const ground = groundWithout(ofAll, lot.id);
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
