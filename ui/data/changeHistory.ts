import { signal } from "@preact/signals";
import type { ChangeEvent, ChangeOfEntry, NextUndoRedo } from "#api/records/records.ts";
import { ask, attempt, said } from "./client.ts";

/** What undo and redo would do next, as last seen. */
export const history = signal<NextUndoRedo>({ undo: null, redo: null });

export async function loadHistory(): Promise<void> {
  const { undo, redo } = await ask("GET /api/trail", { query: { limit: 1 } });
  history.value = { undo, redo };
}

/**
 * Takes the last change back, or brings it into effect again.
 *
 * @param then  fetches what stands now
 */
export function stepHistory(way: "undo" | "redo", then: () => Promise<unknown>): Promise<boolean> {
  return attempt(async () => {
    const next = history.value[way];
    if (next === null) return;
    try {
      const { what } = await ask(`POST /api/${way}`, { body: { seq: next.seq } });
      said.value = `${way === "undo" ? "Undone" : "Redone"}: ${what}.`;
    } finally {
      await then();
    }
  });
}

/** What happened, from the latest back. */
export async function fetchChangeHistory(before: number | null): Promise<readonly ChangeEvent[]> {
  const query = before === null ? { limit: 100 } : { limit: 100, before };
  return (await ask("GET /api/trail", { query })).events;
}

export async function fetchChanges(seq: number): Promise<readonly ChangeOfEntry[]> {
  return (await ask("GET /api/trail/{id}", { params: { id: seq } })).changes;
}
