import { createHash } from "node:crypto";
import type { Kysely } from "kysely";
import type { Measured, NamedMeasurement } from "#distributions/measured.ts";
import { measured } from "#distributions/measured.ts";
import type { ReadingOptions } from "#distributions/tables/readingOptions.ts";
import type { Band } from "#model/band/band.ts";
import { readBand } from "#model/band/bandFile.ts";
import { type Mill, readMill } from "#model/mill/mill.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import { type Stage, stages } from "#model/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";
import type {
  KeptBand,
  KeptLot,
  KeptMeasurement,
  KeptMill,
  KeptPair,
  KeptTrial,
  NewLot,
} from "../records.ts";
import { readStoredCurve, readStoredTrial } from "./stored.ts";
import type { Tables } from "./tables.ts";

/** A table that was brought in, kept as received beside what was read from it. */
export interface BroughtIn {
  readonly file: string | null;
  readonly text: string;
  readonly options: ReadingOptions;
}

export type Store = ReturnType<typeof makeStore>;

/** Everything the lab keeps. `clock` gives the time of keeping, so that tests can hold it still. */
export function makeStore(db: Kysely<Tables>, clock: () => Date) {
  return {
    async lots(): Promise<KeptLot[]> {
      const lots = await db.selectFrom("lots").selectAll().orderBy("id").execute();
      const counts = await db
        .selectFrom("measurements")
        .select(["lot_id", "stage", (eb) => eb.fn.countAll<number>().as("runs")])
        .groupBy(["lot_id", "stage"])
        .execute();
      return lots.map((lot) => ({
        id: lot.id,
        name: lot.name,
        material: lot.material,
        densityGPerCm3: lot.density_g_per_cm3,
        bandId: lot.band_id,
        note: lot.note,
        keptAt: lot.kept_at,
        stages: stages.flatMap((stage) => {
          const count = counts.find((c) => c.lot_id === lot.id && c.stage === stage);
          return count === undefined ? [] : [{ stage, runs: Number(count.runs) }];
        }),
      }));
    },

    async lot(id: number): Promise<{ lot: KeptLot; measurements: KeptMeasurement[] } | null> {
      const lot = (await this.lots()).find((l) => l.id === id);
      if (lot === undefined) return null;
      const rows = await db
        .selectFrom("measurements")
        .innerJoin("imports", "imports.id", "measurements.import_id")
        .select(["measurements.id", "lot_id", "stage", "name", "file", "distribution"])
        .where("lot_id", "=", id)
        .orderBy("measurements.id")
        .execute();
      return {
        lot,
        measurements: rows.map((row) => ({
          id: row.id,
          lotId: row.lot_id,
          stage: stageOf(row.stage),
          name: row.name,
          file: row.file,
          distribution: readStoredCurve(row.distribution),
        })),
      };
    },

    async keepLot(lot: NewLot): Promise<number> {
      const row = await db
        .insertInto("lots")
        .values({
          name: lot.name,
          material: lot.material,
          density_g_per_cm3: lot.densityGPerCm3,
          band_id: lot.bandId,
          note: lot.note,
          kept_at: clock().toISOString(),
        })
        .returning("id")
        .executeTakeFirstOrThrow();
      return row.id;
    },

    /** All measurements of one table, or none. */
    async keepMeasurements(
      lotId: number,
      stage: Stage,
      measurements: readonly NamedMeasurement[],
      from: BroughtIn,
    ): Promise<void> {
      await db.transaction().execute(async (tx) => {
        const { id } = await tx
          .insertInto("imports")
          .values({
            file: from.file,
            text: from.text,
            sha256: createHash("sha256").update(from.text).digest("hex"),
            options: JSON.stringify(from.options),
            kept_at: clock().toISOString(),
          })
          .returning("id")
          .executeTakeFirstOrThrow();
        for (const one of measurements) {
          await tx
            .insertInto("measurements")
            .values({
              lot_id: lotId,
              stage,
              name: one.name,
              import_id: id,
              distribution: JSON.stringify(one.distribution),
            })
            .execute();
        }
      });
    },

    async bands(): Promise<KeptBand[]> {
      const rows = await db.selectFrom("bands").selectAll().orderBy("id").execute();
      return rows.flatMap((row) => {
        const { band } = readBand(row.band, null);
        return band === null ? [] : [{ id: row.id, band }];
      });
    },

    async keepBand(band: Band): Promise<number> {
      const row = await db
        .insertInto("bands")
        .values({ name: band.name, band: JSON.stringify(band) })
        .returning("id")
        .executeTakeFirstOrThrow();
      return row.id;
    },

    async changeBand(id: number, band: Band): Promise<boolean> {
      const done = await db
        .updateTable("bands")
        .set({ name: band.name, band: JSON.stringify(band) })
        .where("id", "=", id)
        .executeTakeFirst();
      return done.numUpdatedRows > 0n;
    },

    async mills(): Promise<KeptMill[]> {
      const rows = await db.selectFrom("mills").selectAll().orderBy("id").execute();
      return rows.flatMap((row) => {
        const { mill } = readMill(row.mill, null);
        return mill === null ? [] : [{ id: row.id, name: row.name, mill }];
      });
    },

    async keepMill(name: string, mill: Mill): Promise<number> {
      const row = await db
        .insertInto("mills")
        .values({ name, mill: JSON.stringify(mill) })
        .returning("id")
        .executeTakeFirstOrThrow();
      return row.id;
    },

    async changeMill(id: number, name: string, mill: Mill): Promise<boolean> {
      const done = await db
        .updateTable("mills")
        .set({ name, mill: JSON.stringify(mill) })
        .where("id", "=", id)
        .executeTakeFirst();
      return done.numUpdatedRows > 0n;
    },

    async trials(millId: number): Promise<KeptTrial[]> {
      const rows = await db
        .selectFrom("trials")
        .selectAll()
        .where("mill_id", "=", millId)
        .orderBy("id")
        .execute();
      return rows.map((row) => ({
        id: row.id,
        millId: row.mill_id,
        name: row.name,
        trial: readStoredTrial(row.trial),
        curve: row.curve === null ? null : readStoredCurve(row.curve),
      }));
    },

    async keepTrials(
      millId: number,
      trials: readonly { name: string; trial: Trial; curve: Measured | null }[],
    ): Promise<void> {
      await db.transaction().execute(async (tx) => {
        for (const { name, trial, curve } of trials) {
          await tx
            .insertInto("trials")
            .values({
              mill_id: millId,
              name,
              trial: JSON.stringify(trial),
              curve: curve === null ? null : JSON.stringify(measured(curve)),
            })
            .execute();
        }
      });
    },

    async pairs(): Promise<KeptPair[]> {
      const rows = await db.selectFrom("pairs").selectAll().orderBy("id").execute();
      return rows.map((row) => ({
        id: row.id,
        stage: row.stage,
        geometricM2PerG: row.geometric_m2_per_g,
        betM2PerG: row.bet_m2_per_g,
      }));
    },

    async keepPair(pair: BetPair): Promise<number> {
      const row = await db
        .insertInto("pairs")
        .values({ stage: pair.stage, geometric_m2_per_g: pair.geometricM2PerG, bet_m2_per_g: pair.betM2PerG })
        .returning("id")
        .executeTakeFirstOrThrow();
      return row.id;
    },

    async isEmpty(): Promise<boolean> {
      return (await db.selectFrom("lots").select("id").limit(1).executeTakeFirst()) === undefined;
    },

    close: () => db.destroy(),
  };
}

function stageOf(text: string): Stage {
  return stages.find((stage) => stage === text) ?? "fired";
}
