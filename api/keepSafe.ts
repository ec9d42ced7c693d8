import { setTimeout } from "node:timers/promises";
import type { Store } from "#api/store/store.ts";

/** How often the log beside the file is folded in, where anything is in it. */
const foldEveryMs = 30_000;
/** How often it is looked whether a backup is due, once a day where anything changed, or a look at all of them, once a week. */
const lookEveryMs = 600_000;
/** What fails, fails for a while: it is told once, and tried again. */
type Tell = (fault: unknown) => void;

/** Folds the log in and makes the daily backups while the server runs. */
export function keepSafe(store: Pick<Store, "fold" | "backUpDaily" | "checkBackupsWeekly">, tell: Tell) {
  const stopping = new AbortController();
  const every = async (ms: number, work: () => Promise<unknown>) => {
    let isTold = false;
    while (!stopping.signal.aborted) {
      await work().then(
        () => {
          isTold = false;
        },
        (fault: unknown) => {
          if (!isTold) tell(fault);
          isTold = true;
        },
      );
      await setTimeout(ms, undefined, { signal: stopping.signal, ref: false }).catch(() => {});
    }
  };
  const keepBackups = () => store.backUpDaily().finally(store.checkBackupsWeekly);
  const done = Promise.all([every(foldEveryMs, store.fold), every(lookEveryMs, keepBackups)]);
  return {
    async stop(): Promise<void> {
      stopping.abort();
      await done;
    },
  };
}
