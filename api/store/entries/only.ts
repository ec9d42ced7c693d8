import { Conflict } from "#api/records/faults.ts";
import type { Bodies, EntryKind, Saved } from "#api/records/records.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";

/**
 * The one entry there may be becomes what is told; null takes it away.
 *
 * @param expected  the version the change was made against; null when nothing was noted yet
 * @throws Conflict  also where something was noted meanwhile by someone else
 */
export async function only<K extends EntryKind>(
  pen: EventWriter,
  kind: K,
  now: Saved<K> | null,
  told: Bodies[K] | null,
  expected: number | null,
): Promise<void> {
  if (now === null) {
    if (expected !== null) throw new Conflict(kind, 0, null);
    if (told !== null) await pen.make(kind, told);
    return;
  }
  if (expected === null) throw new Conflict(kind, now.id, { version: now.version, body: now.body });
  if (told === null) await pen.remove(kind, now.id, expected);
  else await pen.change(kind, now.id, expected, () => told);
}
