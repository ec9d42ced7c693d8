import {
  copyFileSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import type { Kysely } from "kysely";
import { FileDatabase, lossOf } from "#api/store/database/fileDatabase.ts";
import { backupLines, type LastLine } from "#api/store/database/record.ts";
import { inSnapshot } from "#api/store/database/snapshot.ts";
import { StoreFault } from "#api/store/database/storeFault.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { lastEvent } from "#api/store/ledger/ledger.ts";
import type { LabKey } from "#api/store/signing/labKey.ts";
import { signedOfBackup } from "#api/store/signing/signed.ts";
import { readBackup } from "./backup.ts";

/** Why a backup is made by itself. */
export type BackupOccasion = "daily" | "before-mend" | "before-restore";

/** A backup that was made by itself, read back and gone through from its first event. */
export interface KeptBackup {
  readonly name: string;
  /** When it was made, as ISO 8601 in UTC. */
  readonly at: string;
  /** The last event it holds. */
  readonly event: number;
}

/**
 * The whole record, line by line, as it stood at one moment.
 *
 * @throws StoreFault  the record is damaged or cut: what was written of it could not be brought back
 */
export async function soundBackup(db: Kysely<Tables>, key: LabKey | null): Promise<readonly string[]> {
  const lost = lossOf(db);
  const sign = key === null ? null : (last: LastLine) => key.sign(signedOfBackup(last));
  const lines = await inSnapshot(db, async (snapshot) => {
    const all: string[] = [];
    for await (const line of backupLines(snapshot, sign)) all.push(line);
    const { replay } = readSound(all.join(""));
    const links = await snapshot.selectFrom("links").selectAll().orderBy("seq").execute();
    const broken = links.find(({ seq, link }) => replay.links.get(seq) !== link);
    if (broken !== undefined || links.length !== replay.events)
      throw noBackup(`The chain of events breaks at event ${broken?.seq ?? links.length + 1}.`);
    return all;
  });
  if (lost !== null) throw noBackup(lost);
  return lines;
}

function readSound(text: string) {
  try {
    return readBackup(text);
  } catch (fault) {
    throw noBackup(fault instanceof Error ? fault.message : "");
  }
}

function noBackup(why: string): StoreFault {
  return new StoreFault(
    `No backup was made, since it could not be brought back whole: ${why} Keep the backups of before; docs/recovery.md says how to go on.`,
    500,
  );
}

const nameOf =
  /^fineband-(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z-(\d+)-(daily|before-mend|before-restore)\.jsonl$/;

/** The backups in a folder, the newest first; none where there is no folder. */
export function backupsIn(folder: string): KeptBackup[] {
  return namesIn(folder)
    .flatMap((name) => {
      const found = nameOf.exec(name);
      if (found === null) return [];
      const [, year, month, day, hour, minute, second, event] = found;
      return [{ name, at: `${year}-${month}-${day}T${hour}:${minute}:${second}Z`, event: Number(event) }];
    })
    .toSorted((a, b) => (a.at < b.at ? 1 : a.at > b.at ? -1 : 0));
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

/**
 * Makes a backup, reads it back from the disk and goes through it. Where the record is too damaged for one, the file
 * itself is laid beside instead, when something is about to be changed.
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
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const stamp = now.toISOString().replace(/[-:]|\.\d+/g, "");
  const name = `fineband-${stamp}-${await lastEvent(db)}-${occasion}.jsonl`;
  try {
    writeWhole(join(folder, name), (await soundBackup(db, key)).join(""));
  } catch (fault) {
    if (occasion === "daily" || !(fault instanceof StoreFault) || !(db instanceof FileDatabase)) throw fault;
    return layBeside(db, folder, `fineband-${stamp}-${occasion}.sqlite`);
  }
  for (const old of outlived(backupsIn(folder))) rmSync(join(folder, old.name), { force: true });
  return name;
}

function writeWhole(path: string, text: string): void {
  try {
    writeFileSync(`${path}.part`, text, { mode: 0o600, flush: true });
    readBackup(readFileSync(`${path}.part`, "utf8"));
    renameSync(`${path}.part`, path);
  } finally {
    rmSync(`${path}.part`, { force: true });
  }
}

async function layBeside(db: FileDatabase, folder: string, name: string): Promise<string> {
  await db.fold().catch(() => {});
  copyFileSync(db.kept.path, join(folder, name));
  return name;
}

const [mostDays, mostMonths] = [7, 12];

/**
 * The backups that need no longer be kept: all but the newest of each of the last seven days that have one, the newest
 * of each of the last twelve months, and the newest of all.
 *
 * @param backups  the newest first
 */
export function outlived(backups: readonly KeptBackup[]): KeptBackup[] {
  const newestOf = (length: number, most: number) => {
    const seen = new Map<string, KeptBackup>();
    for (const one of backups) {
      const period = one.at.slice(0, length);
      if (!seen.has(period) && seen.size < most) seen.set(period, one);
    }
    return [...seen.values()];
  };
  const kept = new Set([
    ...newestOf("2026-11-30".length, mostDays),
    ...newestOf("2026-11".length, mostMonths),
    // What was there before somebody mended or restored is wanted while they find out whether they did well.
    ...backups.filter(({ name }) => !name.endsWith("daily.jsonl")).slice(0, mostDays),
  ]);
  return backups.filter((one) => !kept.has(one));
}
