import { execFile } from "node:child_process";
import {
  createReadStream,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { open } from "node:fs/promises";
import { join } from "node:path";
import { promisify } from "node:util";
import type { Kysely } from "kysely";
import { UnusableInput } from "#api/faults.ts";
import { FileDatabase, lossOf } from "#api/store/database/fileDatabase.ts";
import { backupLines, type LastLine, record } from "#api/store/database/record.ts";
import { latestStep, stepWithLinks } from "#api/store/database/schemaStep.ts";
import { streamedFromSnapshot } from "#api/store/database/snapshot.ts";
import { faultOfFolder, StoreFault } from "#api/store/database/storeFault.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { misnamedBytes } from "#api/store/entries/mendBytes.ts";
import { lastEvent } from "#api/store/ledger/ledger.ts";
import { Replay } from "#api/store/ledger/replay.ts";
import type { LabKey } from "#api/store/signing/labKey.ts";
import { signedOfBackup } from "#api/store/signing/signed.ts";
import { checkBackup, isBackupLine } from "./backupReading.ts";

const occasions = ["daily", "before-mend", "before-restore", "before-migration"] as const;

/** Why a backup is made by itself. */
export type BackupOccasion = (typeof occasions)[number];

/** A backup that was made by itself, read back and gone through from its first event. */
export interface KeptBackup {
  readonly name: string;
  /** When it was made, as ISO 8601 in UTC. */
  readonly at: string;
  /** The last event it holds. */
  readonly event: number;
}

/**
 * The whole record, line by line, as it stood at one moment. It is gone through before the first line is given, so that
 * nothing is given of what could not be brought back.
 *
 * @throws StoreFault  the record is damaged or cut
 */
export async function* soundBackup(db: Kysely<Tables>, key: LabKey | null): AsyncGenerator<string> {
  const lost = lossOf(db);
  const sign = key === null ? null : (last: LastLine) => key.sign(signedOfBackup(last));
  yield* streamedFromSnapshot(db, async function* (snapshot) {
    const why = (await whyUnsound(snapshot)) ?? lost;
    if (why !== null)
      throw new StoreFault(
        `No backup was made, since it could not be brought back whole: ${why} Keep the backups of before; docs/recovery.md says how to go on.`,
        500,
      );
    yield* backupLines(snapshot, sign);
  });
}

/** Why a record could not be brought back from a backup of it; null where it could. */
async function whyUnsound(db: Kysely<Tables>): Promise<string | null> {
  const replay = new Replay("checksums");
  for await (const line of record(db)) {
    if (!isBackupLine(line)) return `Event ${line.event.seq} holds what no event does.`;
    replay.take(line.event, line.changes);
  }
  replay.compareStandings(await db.selectFrom("events").select(["seq", "standing"]).execute());
  if (replay.faults[0] !== undefined) return replay.faults[0];
  const [hash] = await misnamedBytes(db);
  if (hash !== undefined)
    return `The bytes of a photograph, kept as ${hash}, are damaged. Bring the photograph in again, or let verify mend.`;
  // Before there were links there is nothing to hold the events against.
  if ((await latestStep(db)) < stepWithLinks) return null;
  const links = await db.selectFrom("links").selectAll().orderBy("seq").execute();
  const broken = links.find(({ seq, link }) => replay.links.get(seq) !== link);
  return broken === undefined && links.length === replay.events
    ? null
    : `The chain of events breaks at event ${broken?.seq ?? links.length + 1}.`;
}

const nameOf = new RegExp(
  `^fineband-(\\d{4})(\\d\\d)(\\d\\d)T(\\d\\d)(\\d\\d)(\\d\\d)Z-(\\d+)-(${occasions.join("|")})\\.jsonl$`,
);

/** The backups in a folder, the newest first; none where there is no folder. */
export function backupsIn(folder: string): KeptBackup[] {
  return namesIn(folder)
    .flatMap((name) => {
      const found = nameOf.exec(name);
      if (found === null) return [];
      const [, year, month, day, hour, minute, second, event] = found;
      return [{ name, at: `${year}-${month}-${day}T${hour}:${minute}:${second}Z`, event: Number(event) }];
    })
    .toSorted((a, b) => (a.at < b.at ? 1 : a.at > b.at ? -1 : b.event - a.event));
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

/**
 * Makes a backup, reads it back from the disk and goes through it. Where the record is too damaged for one, what
 * there is is laid beside instead, when something is about to be changed.
 *
 * @returns  the name of what was written
 * @throws StoreFault  none could be made
 */
export async function keepBackup(
  db: Kysely<Tables>,
  { folder, key }: { readonly folder: string; readonly key: LabKey | null },
  now: Date,
  occasion: BackupOccasion,
): Promise<string> {
  const stamp = now.toISOString().replace(/[-:]|\.\d+/g, "");
  const name = `fineband-${stamp}-${await lastEvent(db)}-${occasion}.jsonl`;
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    await writeWhole(join(folder, name), soundBackup(db, key));
    for (const old of outlived(backupsIn(folder), name)) rmSync(join(folder, old.name), { force: true });
    return name;
  } catch (fault) {
    const isOfRecord = fault instanceof StoreFault && fault.status === 500;
    if (occasion === "daily" || !isOfRecord)
      throw faultOfFolder(`The folder of the backups, ${folder},`, fault);
    return layBeside(db, folder, `fineband-${stamp}-${occasion}`).catch((later: unknown) => {
      throw faultOfFolder(`The folder of the backups, ${folder},`, later);
    });
  }
}

/** How much is written at once. */
const pieceLength = 1 << 18;

async function writeWhole(path: string, lines: AsyncIterable<string>): Promise<void> {
  const part = `${path}.part`;
  try {
    await writeLines(part, lines);
    await checkFile(part);
    renameSync(part, path);
  } finally {
    rmSync(part, { force: true });
  }
}

/** Writes lines as they come; what stands there afterwards is on the disk. */
async function writeLines(path: string, lines: AsyncIterable<string>): Promise<void> {
  const file = await open(path, "w", 0o600);
  try {
    let piece = "";
    for await (const line of lines) {
      piece += line;
      if (piece.length < pieceLength) continue;
      await file.appendFile(piece);
      piece = "";
    }
    await file.appendFile(piece);
    await file.sync();
  } finally {
    await file.close();
  }
}

function checkFile(path: string): Promise<void> {
  return checkBackup(createReadStream(path, { encoding: "utf8", highWaterMark: pieceLength }));
}

/** The file in the folder of the backups that says when all of them were last gone through. */
const checkedFile = "checked.txt";

/** When that was, as ISO 8601 in UTC; null where it never was. */
export function checkedAt(folder: string): string | null {
  try {
    const at = readFileSync(join(folder, checkedFile), "utf8").trim();
    return Number.isNaN(Date.parse(at)) ? null : at;
  } catch {
    return null;
  }
}

/**
 * Goes through every backup in a folder from its first event. What is no whole backup any more gets another name, so
 * that it neither counts as the last good one nor pushes a good one out.
 *
 * @throws StoreFault  some are damaged, or could not be read
 */
export async function checkBackups(folder: string, now: Date): Promise<void> {
  const damaged: string[] = [];
  for (const { name } of backupsIn(folder))
    try {
      await checkFile(join(folder, name));
    } catch (fault) {
      // One that cannot be read just now may be whole.
      if (!(fault instanceof UnusableInput)) throw faultOfFolder(`The backup ${name}`, fault);
      renameSync(join(folder, name), join(folder, `${name}.damaged`));
      damaged.push(name);
    }
  writeFileSync(join(folder, checkedFile), `${now.toISOString()}\n`, { mode: 0o600 });
  if (damaged.length > 0)
    throw new StoreFault(
      `Backups in ${folder} can no longer be brought back: ${damaged.join(", ")}. Their names end in .damaged now. Look at the disk.`,
      500,
    );
}

/** What can be had of a record of which no backup can be made: the file, or of a server the record as it can be read. */
async function layBeside(db: Kysely<Tables>, folder: string, name: string): Promise<string> {
  if (db instanceof FileDatabase) {
    await db.fold().catch(() => {});
    // By another process: a file that is opened and closed here loses the locks that SQLite holds on it here.
    const copying = "require('fs').copyFileSync(process.argv[1], process.argv[2])";
    await promisify(execFile)(process.execPath, [
      "-e",
      copying,
      db.kept.path,
      join(folder, `${name}.sqlite`),
    ]);
    return `${name}.sqlite`;
  }
  await writeLines(join(folder, `${name}.jsonl.damaged`), backupLines(db));
  return `${name}.jsonl.damaged`;
}

const [maxDays, maxMonths] = [7, 12];

/**
 * The backups that need no longer be kept: all but the newest of each of the last seven days that have one, the newest
 * of each of the last twelve months, and the newest of all.
 *
 * @param backups  the newest first
 * @param made     the one just made, which is not the newest where the clock was set back
 */
export function outlived(backups: readonly KeptBackup[], made = ""): KeptBackup[] {
  // Where the clock was set back, those with the most events are later than those that bear the latest time.
  const orders = [backups, backups.toSorted((a, b) => b.event - a.event)];
  const newestOf = (length: number, most: number) => orders.flatMap((order) => newestIn(order, length, most));
  const newestIn = (order: readonly KeptBackup[], length: number, most: number) => {
    const seen = new Map<string, KeptBackup>();
    for (const one of order) {
      const period = one.at.slice(0, length);
      if (!seen.has(period) && seen.size < most) seen.set(period, one);
    }
    return [...seen.values()];
  };
  const kept = new Set([
    ...newestOf("2026-11-30".length, maxDays),
    ...newestOf("2026-11".length, maxMonths),
    // What was there before somebody mended or restored is wanted while they find out whether they did well.
    ...backups.filter(({ name }) => !name.endsWith("daily.jsonl")).slice(0, maxDays),
  ]);
  return backups.filter((one) => one.name !== made && !kept.has(one));
}
