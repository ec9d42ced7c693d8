import { readdir, readFile, stat } from "node:fs/promises";
import { join } from "node:path";
import { setTimeout } from "node:timers/promises";
import { sha256 } from "#api/records/checksum.ts";
import { MadeAndDeleted } from "#api/records/faults.ts";
import type { PlacedRun, RunToPlace } from "#api/store/entries/intake.ts";
import type { Store } from "../store/store.ts";
import { filedTable, isFiled, readReceived, runsToPlace } from "./filing.ts";

/** What has become of a file in the folder. */
export interface WatchedFile {
  /** Its path within the folder. */
  readonly file: string;
  readonly state: "being written" | "waiting" | "saved" | "saved already";
  /** Why it waits or could not be read; null where nothing is to be done. */
  readonly question: string | null;
}

interface Seen {
  readonly size: number;
  readonly changedMs: number;
  /** When it was first seen so; it is complete once it has stayed so for a while. */
  readonly sinceMs: number;
  readonly firstMs: number;
  readonly became: Omit<WatchedFile, "file"> | null;
  /** Of a file that waits: what is asked about it again when the lab changes. */
  readonly runs: readonly RunToPlace[];
}

const endings = /\.(?:csv|tsv|txt|xlsx|json)$/i;
const largestBytes = 50e6;
/** A file that is written to for longer is named; it is read once it rests. */
const longWritingMs = 60_000;
const by = "watched folder";

/**
 * Looks into a folder again and again, reads what is new once it rests, saves what is certain, and keeps the rest in a
 * list with its question. Nothing in the folder is changed. After a restart everything in it is looked at again: what is
 * saved is known by its bytes, and what was saved and undone by the key it was saved under, so nothing comes twice.
 */
export class FolderWatch {
  readonly folder: string;
  readonly #storeNow: () => Promise<Store>;
  readonly #settleMs: number;
  readonly #seen = new Map<string, Seen>();
  readonly #stopping = new AbortController();
  #fault: string | null = null;
  #running: Promise<void> = Promise.resolve();

  /** @param settleMs  how long size and time must stay the same */
  constructor(folder: string, storeNow: () => Promise<Store>, settleMs = 2000) {
    this.folder = folder;
    this.#storeNow = storeNow;
    this.#settleMs = settleMs;
  }

  /** Every file that was seen, and why the folder cannot be looked at, where it cannot. */
  get state(): {
    readonly folder: string;
    readonly fault: string | null;
    readonly files: readonly WatchedFile[];
  } {
    const files = [...this.#seen].map(([file, { became }]) => ({
      file,
      ...(became ?? { state: "being written" as const, question: null }),
    }));
    return { folder: this.folder, fault: this.#fault, files };
  }

  /** The bytes of a file that waits; null where none such does. */
  async bytesOf(file: string): Promise<Uint8Array | null> {
    return this.#seen.get(file)?.became?.state === "waiting" ? readFile(join(this.folder, file)) : null;
  }

  start(): void {
    this.#running = this.#loop();
  }

  async stop(): Promise<void> {
    this.#stopping.abort();
    await this.#running;
  }

  async #loop(): Promise<void> {
    const { signal } = this.#stopping;
    while (!signal.aborted) {
      await this.pass();
      await setTimeout(this.#settleMs / 2, undefined, { signal, ref: false }).catch(() => {});
    }
  }

  /** Looks once. @returns whether every file there has been dealt with */
  async pass(): Promise<boolean> {
    try {
      const store = await this.#storeNow();
      const names = (await readdir(this.folder, { recursive: true })).filter(isTable).toSorted();
      for (const gone of [...this.#seen.keys()].filter((file) => !names.includes(file)))
        this.#seen.delete(gone);
      for (const file of names) {
        if (this.#stopping.signal.aborted) return false;
        await this.#look(file, store);
      }
      await this.#askAgain(store);
      this.#fault = null;
    } catch (fault) {
      // A share that is away, a store that is: tried again with the next pass, and nothing is lost meanwhile.
      this.#fault = fault instanceof Error ? fault.message : String(fault);
      return false;
    }
    return [...this.#seen.values()].every(({ became }) => became !== null);
  }

  async #look(file: string, store: Store): Promise<void> {
    const now = Date.now();
    const found = await stat(join(this.folder, file)).catch(() => null);
    if (found === null || !found.isFile()) {
      this.#seen.delete(file);
      return;
    }
    const before = this.#seen.get(file);
    const isSame = before?.size === found.size && before.changedMs === found.mtimeMs;
    if (!isSame) {
      const firstMs = before?.became === null ? before.firstMs : now;
      const isLong = now - firstMs > longWritingMs;
      const became = isLong
        ? waiting(
            `It has been written to for ${Math.round((now - firstMs) / 1000)} s; it is read once it rests.`,
          )
        : null;
      const seen = { size: found.size, changedMs: found.mtimeMs, sinceMs: now, firstMs };
      this.#seen.set(file, { ...seen, became, runs: [] });
      return;
    }
    const isDone =
      before.became !== null &&
      before.became.question !== unreadable &&
      !before.became.question?.startsWith("It has been");
    if (isDone || now - before.sinceMs < this.#settleMs) return;
    const { became, runs } = await this.#take(file, found, store);
    this.#seen.set(file, { ...before, became, runs });
  }

  /** Reads a file that rests, and saves it where all of it is certain. */
  async #take(
    file: string,
    was: { readonly size: number; readonly mtimeMs: number },
    store: Store,
  ): Promise<Pick<Seen, "became" | "runs">> {
    if (was.size === 0) return { became: waiting("It is empty."), runs: [] };
    if (was.size > largestBytes)
      return { became: waiting(`It is larger than ${largestBytes / 1e6} MB; import it by hand.`), runs: [] };
    const path = join(this.folder, file);
    const bytes = await readFile(path).catch(() => null);
    if (bytes === null) return { became: waiting(unreadable), runs: [] };
    const now = await stat(path).catch(() => null);
    // Written to while it was read: it is taken when it rests again.
    if (now === null || now.size !== was.size || now.mtimeMs !== was.mtimeMs || bytes.length !== was.size)
      return { became: null, runs: [] };
    const read = await readReceived({ file, bytes, options: {} });
    const runs = runsToPlace(read);
    const open = read.problems.find(({ severity }) => severity !== "note");
    if (open !== undefined || runs.length === 0)
      return { became: waiting(open?.message ?? "No measurement was found in it."), runs };
    const places = await store.places(runs);
    const why = whyNotCertain(places);
    if (why !== null) return { became: why, runs };
    const to = places.flatMap(({ lotId, stage, portion }, i) => {
      const name = runs[i]?.name;
      return lotId === null || stage === null || name === undefined
        ? []
        : [{ name, lot: { id: lotId }, stage, portion }];
    });
    const table = filedTable(read, to);
    if (!isFiled(table)) return { became: waiting(table[0]?.message ?? "It cannot be read."), runs };
    const key = `watched folder ${file} ${sha256(bytes)}`;
    const said = `${file}, written ${now.mtime.toISOString()}`;
    await store
      .keepIntake(
        { lots: [], tables: [table] },
        { kind: "change", by, why: said, request: { key, hash: key } },
      )
      .catch((fault: unknown) => {
        if (!(fault instanceof MadeAndDeleted)) throw fault;
      });
    return { became: { state: "saved", question: null }, runs: [] };
  }

  /** What waited may be saved by hand meanwhile, or its lot been made: then it is looked at anew. */
  async #askAgain(store: Store): Promise<void> {
    const open = [...this.#seen].filter(
      ([, { became, runs }]) => became?.state === "waiting" && runs.length > 0,
    );
    if (open.length === 0) return;
    const places = await store.places(open.flatMap(([, { runs }]) => runs));
    let at = 0;
    for (const [file, seen] of open) {
      const its = places.slice(at, at + seen.runs.length);
      at += seen.runs.length;
      const why = whyNotCertain(its);
      if (why?.state === "saved already") this.#seen.set(file, { ...seen, became: why });
      else if (why === null && seen.became?.question?.startsWith(notPlaced) === true)
        this.#seen.set(file, { ...seen, became: null });
    }
  }
}

const unreadable =
  "It cannot be opened: another program holds it, or its rights forbid it. It is tried again.";
const notPlaced = "Where it goes is open: ";
const isTable = (file: string) =>
  endings.test(file) && !file.split(/[\\/]/).some((part) => part.startsWith(".") || part.startsWith("~"));
const waiting = (question: string) => ({ state: "waiting" as const, question });

/** Why a file is not saved by itself; null where all of it is certain: a lot that is there, a stage, nothing saved before. */
function whyNotCertain(places: readonly PlacedRun[]): Omit<WatchedFile, "file"> | null {
  if (places.some(({ double }) => double?.as === "same file"))
    return { state: "saved already", question: null };
  const double = places.find((place) => place.double !== null)?.double;
  if (double != null)
    return waiting(
      `It holds the same curve as ${double.name} of ${double.lot}. Save it by hand if it is another measurement.`,
    );
  const open = places.find(({ question }) => question !== null);
  if (open !== undefined) return waiting(`${notPlaced}${open.question}`);
  const made = places.find(({ lotId }) => lotId === null);
  return made === undefined ? null : waiting(`${notPlaced}${made.lot} is a lot that is not there yet.`);
}
