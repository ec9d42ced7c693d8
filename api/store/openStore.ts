import { join } from "node:path";
import { openDatabase, type Whereabouts } from "#api/store/database/database.ts";
import { materialsOfBefore } from "#api/store/entries/materialsOfBefore.ts";
import { labKeyIn } from "./signing/labKey.ts";
import { makeStore, type Store } from "./store.ts";
import { keepBackup } from "./transfer/keptBackups.ts";

/** Opens what a lab keeps and brings what an earlier version kept up to date, after a backup of what there was. */
export async function openStore(whereabouts: Whereabouts, clock: () => Date): Promise<Store> {
  const folder = whereabouts.backups ?? join(whereabouts.folder, "backups");
  const key = labKeyIn(whereabouts.signingKey ?? join(whereabouts.folder, "signing-key.json"));
  const db = await openDatabase(whereabouts, (before) =>
    keepBackup(before, { folder, key }, clock(), "before-migration"),
  );
  try {
    await materialsOfBefore(db, clock, whereabouts.folder);
  } catch (fault) {
    await db.destroy();
    throw fault;
  }
  return makeStore(db, clock, folder, key);
}
