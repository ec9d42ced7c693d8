import { dirname } from "node:path";
import type { Kysely } from "kysely";
import type { EntryKind } from "#api/records/kinds.ts";
import type { ChangeEvent, ChangeOfEntry, NextUndoRedo } from "#api/records/records.ts";
import type { SignatureState } from "#api/records/signature.ts";
import { takeBytes } from "#api/store/database/bytesKept.ts";
import { FileDatabase, lossOf } from "#api/store/database/fileDatabase.ts";
import { freeBytesOf, serverTakesWriting } from "#api/store/database/health.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { makeCard } from "#api/store/entries/card.ts";
import { makeEquipment } from "#api/store/entries/equipment.ts";
import { makeSummaries } from "#api/store/entries/keepingSummaries.ts";
import { makeLots } from "#api/store/entries/lots.ts";
import { makeMaterialEntries } from "#api/store/entries/materials.ts";
import { makeMeasurements } from "#api/store/entries/measurements.ts";
import { mend, mendPlan } from "#api/store/entries/mend.ts";
import { makePhotographs } from "#api/store/entries/photographs.ts";
import { makePriors } from "#api/store/entries/priors.ts";
import { makeReleases } from "#api/store/entries/releases.ts";
import { makeEntries } from "#api/store/entries/simple.ts";
import { type Verified, verify } from "#api/store/entries/verify.ts";
import { versionOf } from "#api/store/ledger/entries.ts";
import { begin, beginEmpty, type ChangeContext, lastEvent, type Written } from "#api/store/ledger/ledger.ts";
import { eventsBefore, shownChanges } from "#api/store/ledger/trail.ts";
import { historyOf, undoOrRedo } from "#api/store/ledger/undo.ts";
import { type LabKey, stateOfSignature } from "#api/store/signing/labKey.ts";
import { signedOfBackup } from "#api/store/signing/signed.ts";
import { restore } from "#api/store/transfer/backup.ts";
import { readBackup } from "#api/store/transfer/backupReading.ts";
import { bytesInCopy, copiedEntries, copyPieces, importCopy, readCopy } from "#api/store/transfer/copies.ts";
import { csvFiles, readCsvFiles } from "#api/store/transfer/csvFolder.ts";
import {
  type BackupOccasion,
  backupsIn,
  checkBackups,
  checkedAt,
  type KeptBackup,
  keepBackup,
  soundBackup,
} from "#api/store/transfer/keptBackups.ts";
import { makeIntake } from "./entries/intake.ts";
import { makeLabTables } from "./entries/labTables.ts";

export type Store = ReturnType<typeof makeStore>;

/** Fills a store in which nothing was ever kept, all or nothing. @returns whether it was done here */
export function fillUnused(
  db: Kysely<Tables>,
  clock: () => Date,
  fill: (store: Store) => Promise<unknown>,
): Promise<boolean> {
  return begin(db, (tx) => fill(makeStore(tx, clock)));
}

const dayMs = 86_400_000;

/**
 * Everything the lab keeps.
 *
 * @param clock    gives the time of keeping, so that tests can hold it still
 * @param backups  the folder of the backups that are made by themselves; null for none
 * @param key      signs release records and backups; null where nothing is signed
 */
export function makeStore(
  db: Kysely<Tables>,
  clock: () => Date,
  backups: string | null = null,
  key: LabKey | null = null,
) {
  const backUp = async (occasion: BackupOccasion): Promise<string | null> =>
    backups === null ? null : keepBackup(db, { folder: backups, key }, clock(), occasion);
  /** Where the clock was set back, the last is not the one that bears the latest time. */
  const lastBackup = (): KeptBackup | null => {
    const made = backups === null ? [] : backupsIn(backups);
    return made.find(({ at }) => Date.parse(at) <= clock().getTime()) ?? made[0] ?? null;
  };
  /** What is about to take the place of everything is preceded by a backup of it, where there is anything. */
  const backedUp = async <T>(work: () => Promise<T>): Promise<T> => {
    if ((await lastEvent(db)) > 0 || lossOf(db) !== null) await backUp("before-restore");
    return work();
  };
  return {
    ...makeEntries(db, clock),
    ...makeMaterialEntries(db, clock),
    ...makeLots(db, clock),
    ...makeSummaries(db),
    ...makeMeasurements(db, clock),
    ...makeIntake(db, clock),
    ...makeLabTables(db, clock),
    ...makeEquipment(db, clock),
    ...makePriors(db, clock),
    ...makePhotographs(db, clock),
    ...makeCard(db, clock, key),
    ...makeReleases(db, clock, key),

    /** The event that last touched an entry; null when there is none. */
    versionOf: (kind: EntryKind, id: number): Promise<number | null> => versionOf(db, kind, id),

    /** What happened, from the latest back. @param before  only events with a smaller number */
    changeHistory: (before: number | null, limit: number): Promise<ChangeEvent[]> =>
      eventsBefore(db, before, limit),
    changes: (seq: number): Promise<ChangeOfEntry[]> => shownChanges(db, seq),
    /** What undo and redo would do next for a person; for one without a name, whoever did it. */
    history: (by = ""): Promise<NextUndoRedo> => historyOf(db, by),
    /**
     * @param seq  the change meant; null for whichever is next
     * @param of   whose; of whoever asks where it is not said, and empty for whoever did the last
     * @throws NotUndoable
     */
    step: (
      way: "undo" | "redo",
      seq: number | null,
      occasion: ChangeContext,
      of = occasion.by,
    ): Promise<Written> => undoOrRedo(db, clock, occasion, { way, seq, of }),

    /** Everything that stands as one JSON text. @throws DamagedEntry */
    async copy(): Promise<string> {
      const pieces: string[] = [];
      for await (const piece of copyPieces(db)) pieces.push(piece);
      return pieces.join("");
    },
    /** The same in pieces. */
    copyPieces: (): AsyncGenerator<string> => copyPieces(db),
    /** Everything that stands as CSV texts by file name. @throws DamagedEntry */
    copyTables: async (): Promise<Map<string, string>> => csvFiles(await copiedEntries(db)),
    /** Makes what stands what a copy holds, as one change. @throws UnusableInput */
    importCopy: (text: string, occasion: ChangeContext): Promise<Written> =>
      backedUp(async () => {
        const entries = readCopy(text);
        for (const kept of bytesInCopy(text)) await takeBytes(db, kept);
        return importCopy(db, clock, occasion, entries, "imported a backup");
      }),
    /** The same from CSV texts by file name. */
    importTables: (files: ReadonlyMap<string, string>, occasion: ChangeContext): Promise<Written> =>
      backedUp(() => importCopy(db, clock, occasion, readCsvFiles(files), "imported a folder of tables")),
    /** The whole record with its trail, line by line. @throws StoreFault  it is damaged: no backup of it could be restored */
    async *backup(): AsyncGenerator<string> {
      yield* soundBackup(db, key);
    },
    /** The last backup that was made by itself and is whole; null where there is none. */
    lastBackup,
    /** When all backups that were made by themselves were last gone through; null where they never were. */
    backupsCheckedAt: (): string | null => (backups === null ? null : checkedAt(backups)),
    /** Goes through them where that was a week ago. @throws StoreFault  one is damaged, or cannot be read */
    async checkBackupsWeekly(): Promise<void> {
      if (backups === null || lastBackup() === null) return;
      const last = checkedAt(backups);
      if (last === null || Math.abs(clock().getTime() - Date.parse(last)) >= 7 * dayMs)
        await checkBackups(backups, clock());
    },
    /** Makes a backup where the last is a day old and anything changed since. @throws StoreFault */
    async backUpDaily(): Promise<void> {
      const [last, event] = [lastBackup(), await lastEvent(db)];
      const isDue = last === null || Math.abs(clock().getTime() - Date.parse(last.at)) >= dayMs;
      if (backups !== null && event > 0 && isDue && last?.event !== event) await backUp("daily");
    },
    /** @throws UnusableInput  the backup is cut off or damaged */
    async restore(
      text: string,
      occasion: ChangeContext,
    ): Promise<{ withTrail: boolean; written: Written; signatureState: SignatureState }> {
      const backup = readBackup(text);
      const done = await backedUp(() => restore(db, clock, occasion, backup));
      const { signature } = backup.last;
      return { ...done, signatureState: stateOfSignature(key, signedOfBackup(backup.last), signature) };
    },
    verify: (): Promise<Verified> => verify(db, key),
    /** Sets entries right from the record, after a backup. @returns how many @throws Error  the record has a fault */
    async mend(): Promise<number> {
      await backUp("before-mend");
      return mend(db, clock);
    },
    /** What mending would do, as sentences. @throws Error  as mend */
    mendPlan: (): Promise<string[]> => mendPlan(db),

    /**
     * Whether nothing was ever kept. A store from which everything was deleted is not empty: it has a trail. One whose
     * record was cut off is not either.
     */
    async isEmpty(): Promise<boolean> {
      if (lossOf(db) !== null) return false;
      return (await db.selectFrom("events").select("seq").limit(1).executeTakeFirst()) === undefined;
    },

    /** Makes a store in which nothing was ever kept a used one, with nothing in it. */
    begin: (): Promise<boolean> => beginEmpty(db, clock),

    /** What had been saved and is no longer there, as a sentence; null where nothing is missing at the end. */
    lost: (): string | null => lossOf(db),
    /** Whether a change would be saved, as far as can be told without one. */
    isWritable: async (): Promise<boolean> =>
      db instanceof FileDatabase ? db.kept.isWritable : serverTakesWriting(db),
    /** How many bytes are free on the disks of the store's file and of the backups, the fewer of both; null for neither. */
    freeBytes: (): number | null =>
      freeBytesOf([db instanceof FileDatabase ? dirname(db.kept.path) : null, backups]),
    /** Brings what stands in the log beside the file into the file, so that the one file holds everything. */
    fold: async (): Promise<void> => {
      if (db instanceof FileDatabase) await db.fold();
    },

    close: () => db.destroy(),
  };
}
