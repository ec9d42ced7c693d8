import type { Kysely } from "kysely";
import type { Saved, SavedLot } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entryOf } from "#api/store/ledger/entries.ts";
import { plain } from "#api/store/ledger/eventWriter.ts";
import { materialNamed } from "#api/store/ledger/materials.ts";
import { folded } from "#model/lot/processSteps.ts";

/**
 * The band a lot is held against: its own, else the one given to the lot of its material that was saved last, else that
 * of the material; where the lab has one material only and no lot has a band, the first band saved. @throws DamagedEntry
 */
export async function heldAgainst(
  db: Kysely<Tables>,
  lot: Pick<SavedLot, "material" | "bandId">,
): Promise<Saved<"band"> | null> {
  const id = lot.bandId ?? (await bandOfMaterial(db, lot.material));
  return id === null ? null : entryOf(db, "band", id);
}

async function bandOfMaterial(db: Kysely<Tables>, material: string): Promise<number | null> {
  const part = plain(folded(material));
  const given = await db
    .selectFrom("lot_list")
    .select("own_band")
    .where("part", "=", part)
    .where("own_band", "is not", null)
    .orderBy("lot", "desc")
    .limit(1)
    .executeTakeFirst();
  if (given !== undefined) return given.own_band;
  const own = (await materialNamed(db, material))?.body.bands.at(-1);
  if (own !== undefined) return own.bandId;
  const other = await db.selectFrom("lot_list").select("lot").where("part", "<>", part).limit(1).execute();
  return other.length > 0 ? null : firstBand(db);
}

async function firstBand(db: Kysely<Tables>): Promise<number | null> {
  const first = await db
    .selectFrom("entries")
    .select("id")
    .where("kind", "=", "band")
    .orderBy("id")
    .limit(1)
    .executeTakeFirst();
  return first?.id ?? null;
}
