import { type Kysely, sql } from "kysely";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, soundIn } from "#api/store/ledger/entries.ts";
import { withStated } from "#distributions/measurementMetadata.ts";
import { pairsFor } from "#model/lot/material.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { linkedPair, withTyped } from "#model/surface/linkedPair.ts";
import { groundFor, type SavedGround, type SavedGroundLot } from "./ground.ts";

/** A pair, and where it comes from: a stage of a lot, or a person who typed it. */
export interface KeptPair extends BetPair {
  /** The lot it follows from; null where it was typed. */
  readonly lotId: number | null;
  readonly typed: boolean;
}

export interface KeptCalibration {
  readonly ground: SavedGround;
  readonly pairs: readonly KeptPair[];
}

/**
 * The pairs that teach the BET area of a stage of a material: those that follow from its lots, and those typed for it.
 *
 * @param exceptLotId  the lot that is asked about teaches nothing about itself
 */
export async function calibrationFor(
  db: Kysely<Tables>,
  asked: { readonly material: string; readonly stage: Stage; readonly exceptLotId?: number | undefined },
): Promise<KeptCalibration> {
  const ground = await groundFor(db, asked);
  const { material, stage } = ground;
  const linked = await linkedPairs(db, ground);
  return { ground, pairs: withTyped(linked, await typedOfStage(db, { material, stage })) };
}

/** The pairs that follow from the lots of a ground. */
export async function linkedPairs(db: Kysely<Tables>, ground: SavedGround): Promise<readonly KeptPair[]> {
  const { stage } = ground;
  const ids = ground.lots.map((lot) => lot.id);
  const results = soundIn(await entriesOf(db, "result", ids)).map(({ body }) => body);
  const noted = soundIn(await entriesOf(db, "stage", ids)).map(({ body }) => body);
  return ground.lots.flatMap((lot): readonly KeptPair[] => {
    const pair = linkedPair({
      stage,
      material: ground.material,
      densityGPerCm3: lot.lot.densityGPerCm3,
      runs: runsOf(lot, stage),
      settings: noted.find((one) => one.lotId === lot.id && one.stage === stage)?.settings ?? [],
      results: results.filter((one) => one.lotId === lot.id),
    });
    return pair === null ? [] : [{ ...pair, lotId: lot.id, typed: false }];
  });
}

/** The pairs that a person typed for a stage of a material. */
export async function typedOfStage(
  db: Kysely<Tables>,
  { material, stage }: { readonly material: string; readonly stage: Stage },
): Promise<readonly KeptPair[]> {
  return (await typedPairs(db, material)).filter((pair) => pair.stage === stage);
}

/** Pairs that a person typed, of a material alone; one without a material holds where the lab has no other. */
export async function typedPairs(db: Kysely<Tables>, material: string): Promise<KeptPair[]> {
  const pairs = soundIn(await entriesOf(db, "pair")).map(({ body }) => ({
    ...body,
    lotId: null,
    typed: true,
  }));
  return pairsFor(pairs, material, await materialsOfLots(db));
}

/** The names of the materials that lots are of, each once: from one to the next along the index, past all its lots. */
export async function materialsOfLots(db: Kysely<Tables>): Promise<string[]> {
  const { rows } = await sql<{ part: string }>`
    with recursive names(part) as (
      select min(part) from lot_list
      union all
      select (select min(part) from lot_list where part > names.part) from names where names.part is not null
    )
    select part from names where part is not null`.execute(db);
  return rows.map(({ part }) => part);
}

/** The runs of a stage of a lot that count, as answers take them. */
export function runsOf({ runs }: SavedGroundLot, stage: Stage) {
  return runs
    .filter((run) => run.body.stage === stage)
    .map(({ body: { file, name, distribution, howMeasured = {}, portion } }) => ({
      file,
      name,
      distribution,
      ...withStated(howMeasured),
      ...(portion === undefined ? {} : { portion: portion.name }),
    }));
}
