import { hasDemoFile, openDemoDatabase, type Whereabouts } from "#api/store/database/database.ts";
import { openStore } from "#api/store/openStore.ts";
import { fillUnused, makeStore, type Store } from "#api/store/store.ts";
import { saveDemo } from "./demo.ts";

type Database = Parameters<typeof fillUnused>[0];

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
    const isWanted = hasDemoFile(whereabouts.folder) || (await own.isEmpty());
    const fill = (db: Database) => fillUnused(db, clock, (store) => saveDemo(store, samples));
    const demo = isWanted ? await openDemoDatabase(whereabouts.folder, fill) : null;
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
