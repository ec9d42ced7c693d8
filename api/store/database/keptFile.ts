import { accessSync, chmodSync, constants, existsSync, statSync } from "node:fs";
import { dirname } from "node:path";
import Database from "libsql";
import { z } from "zod";
import { readHead, whyForeignLog, writeHead } from "./head.ts";
import { StoreFault, storeFaultOf } from "./storeFault.ts";

const markRow = z.object({ application_id: z.number() });
const linkRow = z.object({ seq: z.number(), link: z.string() });

/** How long another program may hold the file: while the store serves, and while one that starts brings it up to date. */
const patienceMs = { serving: 15_000, opening: 180_000 };

/** Which file on the disk it is; null where there is none. */
function identityOf(path: string): string | null {
  const found = statSync(path, { throwIfNoEntry: false });
  return found === undefined ? null : `${found.dev} ${found.ino}`;
}

/**
 * The files that this process has open, each as often as it is. A file that is opened and closed here beside SQLite takes
 * with it every lock that SQLite holds on it in this process (POSIX: closing any descriptor releases them all); another
 * program that closes the store would then take itself for the last one and delete the log that is still written here.
 */
const openHere = new Map<string, number>();

function countOpen(identity: string | null, by: 1 | -1): void {
  if (identity === null) return;
  const count = (openHere.get(identity) ?? 0) + by;
  if (count > 0) openHere.set(identity, count);
  else openHere.delete(identity);
}

/** The connection to one file, and what watches over it: that it is still there, where its record ends, whose its log is. */
export class KeptFile {
  readonly path: string;
  #file: Database.Database;
  #identity: string | null;
  /** Why the record is shorter than it was; null where it is not. */
  lost: string | null = null;

  /** Who only reads leaves the log as it is when the file is closed, and waits for nobody who writes. */
  readonly isForWriting: boolean;

  constructor(path: string, isForWriting = true) {
    this.path = path;
    this.isForWriting = isForWriting;
    this.#file = this.#open();
    this.#identity = identityOf(path);
    countOpen(this.#identity, 1);
    this.lookForLoss();
  }

  get file(): Database.Database {
    return this.#file;
  }

  /**
   * Write-ahead log and full synchronisation: what was acknowledged survives a power cut. The log is folded in by `fold`
   * alone, since each time the file gets a new mark.
   */
  #open(): Database.Database {
    const foreign = openHere.has(identityOf(this.path) ?? "") ? null : whyForeignLog(this.path);
    if (foreign !== null) throw new StoreFault(foreign, 503);
    const file = new Database(this.path);
    // Nobody else on this machine needs to read a lab's memory; a folder on a foreign file system may know no such rights.
    for (const part of [this.path, `${this.path}-wal`, `${this.path}-shm`])
      if (existsSync(part)) chmodSync(part, 0o600);
    file.exec(
      `PRAGMA busy_timeout = ${patienceMs.serving}; PRAGMA cache_size = -65536; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA wal_autocheckpoint = 0`,
    );
    return file;
  }

  /** Work of a start, for which it waits as long as another that starts may need for the same. */
  async whileOpening<T>(work: () => Promise<T>): Promise<T> {
    this.#file.exec(`PRAGMA busy_timeout = ${patienceMs.opening}`);
    try {
      this.#assertNamesReadable();
      return await work();
    } finally {
      this.#file.exec(`PRAGMA busy_timeout = ${patienceMs.serving}`);
    }
  }

  /** The driver ends the process at the name of a column that is no UTF-8; ours are ASCII. */
  #assertNamesReadable(): void {
    const rows = this.#file.prepare("select cast(sql as blob) as text from sqlite_schema").all();
    const isOurs = z.array(z.object({ text: z.instanceof(ArrayBuffer).nullable() })).parse(rows);
    if (isOurs.some(({ text }) => text !== null && new Uint8Array(text).some((byte) => byte > 0x7f)))
      throw new StoreFault(
        `The names of the tables in ${this.path} are damaged, so that it cannot be read. Bring back the newest backup: docs/recovery.md says how.`,
        500,
      );
  }

  /** Whether the file was removed or another stands in its place. */
  get isMoved(): boolean {
    return identityOf(this.path) !== this.#identity;
  }

  /** Whether a change would be saved, as far as can be told without one. */
  get isWritable(): boolean {
    try {
      accessSync(this.path, constants.W_OK);
      accessSync(dirname(this.path), constants.W_OK);
    } catch {
      return false;
    }
    return this.lost === null && !this.isMoved;
  }

  /** Goes on with the file that stands there now, where another was put in place of the one that was opened. */
  follow(): void {
    if (!this.isMoved || !existsSync(this.path) || this.#file.inTransaction) return;
    const before = this.#file;
    const steps = (file: Database.Database) =>
      JSON.stringify(file.prepare("select max(step) as step from schema_steps").all());
    const now = this.#open();
    try {
      if (steps(now) !== steps(before)) throw new Error("it is of another version");
    } catch (fault) {
      now.close();
      throw new StoreFault(
        `${this.path} was replaced while it was in use, by a file that cannot be taken up without a start anew. Nothing was saved.`,
        503,
        fault,
      );
    }
    countOpen(this.#identity, -1);
    this.#file = now;
    this.#identity = identityOf(this.path);
    countOpen(this.#identity, 1);
    before.close();
    this.lookForLoss();
  }

  /** @throws StoreFault  what is written now would be lost */
  assertThere(): void {
    if (this.isMoved)
      throw new StoreFault(
        `The store's file ${this.path} was removed or moved while it was in use. Nothing was saved. Bring the file back to its place: what was saved before can still be read, so a backup can be taken now.`,
        503,
      );
  }

  /** Says in the head where the record ends now. A head that cannot be written stays behind, which does no harm. */
  committed(): void {
    if (this.lost !== null) return;
    const last = this.#last();
    const before = readHead(this.path);
    if (last === null || before?.link === last.link) return;
    try {
      writeHead(this.path, { ...last, generations: before?.generations ?? [] });
    } catch {
      // The next change, or the next fold, says it.
    }
  }

  /** Holds the record against the head. */
  lookForLoss(): void {
    this.lost = null;
    const head = readHead(this.path);
    if (head === null) return;
    const last = this.#last()?.seq ?? 0;
    if (last < head.seq)
      this.lost = `The change history ends at event ${last}, but event ${head.seq} had been saved: ${head.seq - last === 1 ? "one change is" : `${head.seq - last} changes are`} lost.`;
    else if (head.seq > 0 && this.#linkAt(head.seq) !== head.link)
      this.lost = `Event ${head.seq} is another than the one that was saved: the file is not the one it was.`;
  }

  /** Takes the record for what it is from now on, shorter than it was or not. */
  acceptLoss(): void {
    this.lost = null;
    writeHead(this.path, { seq: 0, link: "", generations: readHead(this.path)?.generations ?? [] });
    this.committed();
  }

  /** How many bytes wait in the log. */
  get logBytes(): number {
    return statSync(`${this.path}-wal`, { throwIfNoEntry: false })?.size ?? 0;
  }

  /** Folds the log into the file, so that the one file holds everything. Others that read just now put it off. */
  fold(): void {
    if (this.logBytes === 0 || this.isMoved || this.#file.inTransaction) return;
    const last = this.#last() ?? { seq: 0, link: "" };
    const head = readHead(this.path);
    const known = this.lost === null ? last : (head ?? last);
    const next = (this.#mark() + 1) % 0x7fffffff;
    try {
      // Without a head nobody knows which mark the file bears while the log holds another.
      const before = head === null ? [] : [...new Set([...head.generations, this.#mark(), next])];
      writeHead(this.path, { ...known, generations: before });
      this.#file.exec(`PRAGMA application_id = ${next}; PRAGMA busy_timeout = 0`);
      this.#file.prepare("PRAGMA wal_checkpoint(TRUNCATE)").all();
      if (this.logBytes === 0)
        writeHead(this.path, { ...known, generations: [...new Set([next, this.#mark()])] });
    } catch (fault) {
      throw storeFaultOf(fault) ?? fault;
    } finally {
      this.#file.exec(`PRAGMA busy_timeout = ${patienceMs.serving}`);
    }
  }

  close(): void {
    try {
      if (this.isForWriting) this.fold();
    } catch {
      // What is in the log is read from there at the next start.
    }
    this.#file.close();
    countOpen(this.#identity, -1);
  }

  /** The mark as it was last saved; where the log is empty, that of the file. */
  #mark(): number {
    return markRow.parse(this.#file.prepare("PRAGMA application_id").get()).application_id;
  }

  #last(): { seq: number; link: string } | null {
    return this.#link("select seq, hex(link) as link from links order by seq desc limit 1");
  }

  #linkAt(seq: number): string | null {
    return this.#link(`select seq, hex(link) as link from links where seq = ${seq}`)?.link ?? null;
  }

  #link(query: string): { seq: number; link: string } | null {
    try {
      const [row] = this.#file.prepare(query).all();
      const { seq, link } = linkRow.parse(row);
      return { seq, link: Buffer.from(link, "hex").toString() };
    } catch {
      return null;
    }
  }
}
