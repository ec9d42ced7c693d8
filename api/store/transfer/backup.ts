import { createHash } from "node:crypto";
import type { Kysely, Transaction } from "kysely";
import { z } from "zod";
import { UnusableInput } from "#api/faults.ts";
import { signatureFields } from "#api/records/signature.ts";
import { linkAll } from "#api/store/database/chain.ts";
import { acceptLoss } from "#api/store/database/fileDatabase.ts";
import { listLots } from "#api/store/database/lotList.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { materialsOfBefore } from "#api/store/entries/materialsOfBefore.ts";
import { entryRow, setCounter } from "#api/store/ledger/eventWriter.ts";
import { type ChangeContext, lockRecord, type Written } from "#api/store/ledger/ledger.ts";
import { Replay } from "#api/store/ledger/replay.ts";
import { fits } from "#api/store/signing/labKey.ts";
import { signedOfBackup } from "#api/store/signing/signed.ts";
import { type Copied, importCopy, withoutByteOrderMark } from "./copies.ts";

const header = z.object({ fineband: z.literal("backup"), version: z.literal(1) });
const eventLine = z.object({
  event: z.object({
    seq: z.number().int(),
    at: z.string(),
    kind: z.enum(["start", "change", "undo", "redo"]),
    what: z.string(),
    person: z.string(),
    why: z.string(),
    of_seq: z.number().int().nullable(),
    standing: z.enum(["done", "undone", "passed"]),
    request_key: z.string().nullable(),
    request_hash: z.string().nullable(),
    checksum: z.string(),
  }),
  changes: z.array(
    z.object({
      seq: z.number().int(),
      position: z.number().int(),
      kind: z.string(),
      id: z.number().int(),
      before: z.string().nullable(),
      after: z.string().nullable(),
      checksum: z.string(),
    }),
  ),
});
const lastLine = z.object({
  events: z.number().int(),
  sha256: z.string(),
  /** Absent in backups of before. */
  signature: signatureFields.exactOptional(),
});

type BackupLine = z.infer<typeof eventLine>;

export const isBackup = (text: string): boolean => text.startsWith('{"fineband":"backup"');

/** Reads a backup and goes through it from its first event. @throws UnusableInput  it is cut off or damaged */
export function readBackup(text: string): {
  lines: BackupLine[];
  replay: Replay;
  last: z.infer<typeof lastLine>;
} {
  const all = withoutByteOrderMark(text)
    .split("\n")
    .filter((line) => line !== "");
  const last = lastLine.safeParse(parsed(all.at(-1) ?? ""));
  if (!header.safeParse(parsed(all[0] ?? "")).success || !last.success)
    throw new UnusableInput("The backup is cut off: its last line is missing. Take another.");
  const before = all.slice(0, -1).map((line) => `${line}\n`);
  const hash = createHash("sha256").update(before.join("")).digest("hex");
  if (hash !== last.data.sha256)
    throw new UnusableInput("The backup does not match its checksum. Take another.");
  const { signature } = last.data;
  if (signature !== undefined && !fits(signedOfBackup(last.data), signature))
    throw new UnusableInput(
      "The signature of the backup does not fit: it was changed after it was made. Take another.",
    );
  const lines = all.slice(1, -1).map((line) => eventLine.parse(parsed(line)));
  const replay = new Replay();
  for (const { event, changes } of lines) replay.take(event, changes);
  replay.compareStandings(lines.map((line) => line.event));
  if (replay.faults[0] !== undefined) throw new UnusableInput(`The backup has a fault: ${replay.faults[0]}`);
  return { lines, replay, last: last.data };
}

function parsed(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    return null;
  }
}

/**
 * Brings a backup back. Into a store that nobody has worked in yet it goes with its whole trail. Otherwise what stands
 * becomes what the backup held, as one change that undo takes back, and the present trail goes on.
 */
export async function restore(
  db: Kysely<Tables>,
  clock: () => Date,
  occasion: ChangeContext,
  { lines, replay }: ReturnType<typeof readBackup>,
): Promise<{ withTrail: boolean; written: Written }> {
  acceptLoss(db);
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
