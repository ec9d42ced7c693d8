import { hasDemoFile, openDemoDatabase, type Whereabouts } from "#api/store/database/database.ts";
import { openStore } from "#api/store/openStore.ts";
import { fillUnused, makeStore, type Store } from "#api/store/store.ts";
import { saveDemo } from "./demo.ts";

/** The lab's own store and the demo's, each a database of its own. */
export interface Labs {
  /** What the lab keeps; nothing until it is started. */
  readonly own: Store;
  /** Invented lots to look at and to try things on; null where the lab was used before a demo was made beside it. */
  readonly demo: Store | null;
  /** Whether anything was ever kept in the own lab, or it was started empty. */
  readonly isStarted: () => Promise<boolean>;
  /** Opens the own lab, empty; one that was started stays as it is. */
  readonly start: () => Promise<void>;
  readonly close: () => Promise<void>;
}

/**
 * Opens both labs. The demo is made where neither it nor the own lab was ever used, in one transaction: a server that
 * ends meanwhile leaves none of it, and of two at once one makes it.
 *
 * @param samples  the folder of the demo's files
 */
export async function openLabs(whereabouts: Whereabouts, samples: string): Promise<Labs> {
  const clock = () => new Date();
  const own = await openStore(whereabouts, clock);
  try {
    const demo = await openDemo(whereabouts.folder, await own.isEmpty(), (db) =>
      fillUnused(db, clock, (store) => saveDemo(store, samples)),
    );
    let isKnownStarted = false;
    return {
      own,
      demo: demo === null ? null : makeStore(demo, clock),
      async isStarted() {
        // Another server, or the command line, may have started it.
        isKnownStarted ||= !(await own.isEmpty());
        return isKnownStarted;
      },
      async start() {
        await own.begin();
      },
      async close() {
        await Promise.all([own.close(), demo?.destroy()]);
      },
    };
  } catch (fault) {
    await own.close();
    throw fault;
  }
}

type Database = Awaited<ReturnType<typeof openDemoDatabase>>;

/** Null where there is none and none may be made. */
async function openDemo(
  folder: string,
  mayMake: boolean,
  fill: (db: Database) => Promise<unknown>,
): Promise<Database | null> {
  if (!mayMake && !hasDemoFile(folder)) return null;
  const db = await openDemoDatabase(folder);
  await fill(db).catch(async (fault: unknown) => {
    await db.destroy();
    throw fault;
  });
  return db;
}
