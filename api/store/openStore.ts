import { join } from "node:path";
import { openDatabase, type Whereabouts } from "#api/store/database/database.ts";
import { materialsOfBefore } from "#api/store/entries/materialsOfBefore.ts";
import { labKeyIn } from "./signing/labKey.ts";
import { makeStore, type Store } from "./store.ts";

/** Opens what a lab keeps and brings what an earlier version kept up to date; a backup of before stands in the folder. */
export async function openStore(whereabouts: Whereabouts, clock: () => Date): Promise<Store> {
  const db = await openDatabase(whereabouts);
  try {
    await materialsOfBefore(db, clock, whereabouts.folder);
  } catch (fault) {
    await db.destroy();
    throw fault;
  }
  return makeStore(
    db,
    clock,
    whereabouts.backups ?? join(whereabouts.folder, "backups"),
    labKeyIn(whereabouts.signingKey ?? join(whereabouts.folder, "signing-key.json")),
  );
}
