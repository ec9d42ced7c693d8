import { Conflict } from "#api/records/faults.ts";
import type { Bodies, EntryKind } from "#api/records/kinds.ts";
import type { Saved } from "#api/records/records.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";

/**
 * The one entry there may be becomes what is told; null takes it away.
 *
 * @param now       what stands; null when nothing was noted yet
 * @param expected  the version the change was made against; null when nothing was noted then
 * @throws Conflict  also where something was noted meanwhile by someone else
 */
export async function only<K extends EntryKind>(
  writer: EventWriter,
  kind: K,
  { now, expected }: { readonly now: Saved<K> | null; readonly expected: number | null },
  entered: Bodies[K] | null,
): Promise<void> {
  if (now === null) {
    if (expected !== null) throw new Conflict(kind, 0, null);
    if (entered !== null) await writer.make(kind, entered);
    return;
  }
  if (expected === null) throw new Conflict(kind, now.id, { version: now.version, body: now.body });
  if (entered === null) await writer.remove(kind, now.id, expected);
  else await writer.change(kind, now.id, expected, () => entered);
}
