import { setImmediate, setTimeout } from "node:timers/promises";
import type { Store } from "./store/store.ts";

/** Written down together: one wait for the disk. */
const lotsAtOnce = 20;
/** How soon a change is looked at. */
const lookEveryMs = 500;
/** What only follows from other lots takes no more than one part in so many of the processor's time. */
const idleShare = 4;
/** After a fault, such as a database that is away. */
const afterFaultMs = 10_000;

/** Keeps what is computed of each lot up to date while the server has nothing else to do. */
export function keepSummaries(
  store: Pick<Store, "summarize">,
  log: (fault: unknown) => void,
): { readonly stop: () => Promise<void> } {
  const stopping = new AbortController();
  const wait = (ms: number) =>
    setTimeout(ms, undefined, { signal: stopping.signal, ref: false }).catch(() => {});
  const pause = async () => {
    stopping.signal.throwIfAborted();
    await setImmediate();
  };
  const round = async (): Promise<number> => {
    const from = performance.now();
    const { lots, isOwn } = await store.summarize(lotsAtOnce, pause);
    const tookMs = performance.now() - from;
    if (lots === 0) return lookEveryMs;
    return isOwn ? 0 : (idleShare - 1) * tookMs;
  };
  const keep = async () => {
    let isTold = false;
    while (!stopping.signal.aborted)
      try {
        await wait(await round());
        isTold = false;
      } catch (fault) {
        if (stopping.signal.aborted) return;
        // Once is enough: a database that is away is so for a while.
        if (!isTold) log(fault);
        isTold = true;
        await wait(afterFaultMs);
      }
  };
  const kept = keep();
  return {
    async stop() {
      stopping.abort();
      await kept;
    },
  };
}
