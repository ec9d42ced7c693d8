import { signal } from "@preact/signals";

/** How far work on many files is; null where none is going on. */
export const progress = signal<{
  readonly doing: "Reading" | "Saving";
  readonly done: number;
  readonly of: number;
} | null>(null);

let isStopped = false;

/** Stops after the file that is being worked on. */
export function stopInTurn(): void {
  isStopped = true;
}

/**
 * Does something with one after another and lets the page show how far it is. Ends early where `one` says false, or
 * where it was stopped.
 *
 * @returns how many were done
 */
export async function inTurn<T>(
  all: readonly T[],
  doing: "Reading" | "Saving",
  one: (item: T) => Promise<boolean>,
): Promise<number> {
  isStopped = false;
  let done = 0;
  for (const item of all) {
    if (all.length > 1) progress.value = { doing, done, of: all.length };
    // The page is drawn, and a press on Cancel heard, in between.
    if (done > 0) await new Promise((resolve) => setTimeout(resolve));
    if (isStopped || !(await one(item))) break;
    done++;
  }
  progress.value = null;
  return done;
}
