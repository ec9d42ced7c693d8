import type { Kysely, Transaction } from "kysely";
import { takeBytes } from "#api/store/database/bytesKept.ts";
import { linkAll } from "#api/store/database/chain.ts";
import { acceptLoss } from "#api/store/database/fileDatabase.ts";
import { listLots } from "#api/store/database/lotList.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { materialsOfBefore } from "#api/store/entries/materialsOfBefore.ts";
import { entryRow, setCounter } from "#api/store/ledger/eventWriter.ts";
import { type ChangeContext, lockRecord, type Written } from "#api/store/ledger/ledger.ts";
import type { Replay } from "#api/store/ledger/replay.ts";
import type { BackupLine, readBackup } from "./backupReading.ts";
import { type Copied, importCopy } from "./copies.ts";

/**
 * Brings a backup back. Into a store that nobody has worked in yet it goes with its whole trail. Otherwise what stands
 * becomes what the backup held, as one change that undo takes back, and the present trail goes on.
 */
export async function restore(
  db: Kysely<Tables>,
  clock: () => Date,
  occasion: ChangeContext,
  { lines, replay, bytes }: ReturnType<typeof readBackup>,
): Promise<{ withTrail: boolean; written: Written }> {
  acceptLoss(db);
  for (const kept of bytes) await takeBytes(db, kept);
  const withTrail = await db.transaction().execute(async (tx) => {
    await lockRecord(tx);
    const used = await tx.selectFrom("events").select("seq").where("kind", "<>", "start").limit(1).execute();
    if (used.length > 0) return false;
    await replaceAll(tx, lines, replay);
    return true;
  });
  await materialsOfBefore(db, clock, null);
  if (withTrail) return { withTrail, written: { seq: lines.at(-1)?.event.seq ?? null, made: [] } };
  const entries: Copied[] = [...replay.entries.values()].map(({ kind, id, body }) => ({ kind, id, body }));
  return { withTrail, written: await importCopy(db, clock, occasion, entries, "restored a backup") };
}

const rowsAtOnce = 500;

async function replaceAll(
  tx: Transaction<Tables>,
  lines: readonly BackupLine[],
  replay: Replay,
): Promise<void> {
  for (const table of [
    "links",
    "lot_list",
    "lot_stages",
    "ground_marks",
    "entries",
    "changes",
    "events",
    "counters",
  ] as const)
    await tx.deleteFrom(table).execute();
  const changes = lines.flatMap((line) => line.changes);
  for (const events of pages(lines.map((line) => line.event)))
    await tx.insertInto("events").values(events).execute();
  for (const some of pages(changes)) await tx.insertInto("changes").values(some).execute();
  const entries = [...replay.entries.values()].map((e) => entryRow(e.kind, e.id, e.body, e.version));
  for (const some of pages(entries)) await tx.insertInto("entries").values(some).execute();
  await linkAll(tx);
  await listLots(tx, null);
  const last = new Map([["event", lines.at(-1)?.event.seq ?? 0]]);
  for (const { kind, id } of changes) last.set(kind, Math.max(last.get(kind) ?? 0, id));
  for (const [name, value] of last) await setCounter(tx, name, value);
}

function pages<T>(all: readonly T[]): T[][] {
  return Array.from({ length: Math.ceil(all.length / rowsAtOnce) }, (_, i) =>
    all.slice(i * rowsAtOnce, (i + 1) * rowsAtOnce),
  );
}
