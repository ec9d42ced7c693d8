import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Database from "libsql";
import { z } from "zod";
import type { ChangeContext } from "../../api/store/ledger/ledger.ts";
import { openStore } from "../../api/store/openStore.ts";
import type { Store } from "../../api/store/store.ts";
import { answersOf, askedOf, isMarked, type Questions } from "./answers.ts";
import { chanceFrom } from "./chance.ts";

const someone: ChangeContext = { kind: "change", by: "Ana", why: "", request: null };
const clock = () => new Date(0);
const parts = ["fineband.sqlite", "fineband.sqlite-wal"] as const;

/** A store to damage: its folder, whole or with all the latest in its log, and what it answers. */
export interface Template {
  readonly folder: string;
  readonly truth: ReadonlyMap<string, string>;
  readonly asked: Questions;
  /** A backup of it, of which is known that it brings everything back. */
  readonly backup: string;
}

/**
 * @param fill    what is kept in it
 * @param logged  whether the last changes stand in the log alone, as after the power failed
 */
export async function templateOf(
  fill: (store: Store) => Promise<unknown>,
  logged: boolean,
): Promise<Template> {
  const folder = mkdtempSync(join(tmpdir(), "fineband-flips-"));
  const working = join(folder, "working");
  const store = await openStore({ databaseUrl: null, folder: working }, clock);
  await fill(store);
  await change(store, 0);
  await store.summarize(100);
  if (!logged) {
    await store.close();
    const file = new Database(join(working, parts[0]));
    file.prepare("pragma wal_checkpoint(TRUNCATE)").all();
    file.close();
  }
  const whole = join(folder, "whole");
  cpSync(working, whole, { recursive: true });
  const read = join(folder, "read");
  const asked = await openAnd(whole, askedOf, read);
  const truth = await openAnd(whole, (opened) => answersOf(opened, asked), read);
  const backup = await openAnd(whole, backupOf, read);
  if (logged) await store.close();
  rmSync(working, { recursive: true });
  const template = { folder, truth, asked, backup };
  const why = await whyUseless(backup, template);
  if (why !== null) throw new Error(`The backup of the whole store cannot be brought back: ${why}`);
  return template;
}

export async function change(store: Store, n: number): Promise<void> {
  const lot = { name: `Lot ${n}`, material: "garnet", densityGPerCm3: 4.55, bandId: null, note: "" };
  await store.keepLot(lot, someone);
  await store.changeLot(1, { ...lot, name: `Changed ${n}` }, null, someone);
  await store.step("undo", null, someone);
}

async function openAnd<T>(from: string, ask: (store: Store) => Promise<T>, folder: string): Promise<T> {
  rmSync(folder, { recursive: true, force: true });
  cpSync(from, folder, { recursive: true });
  const store = await openStore({ databaseUrl: null, folder }, clock);
  try {
    return await ask(store);
  } finally {
    await store.close();
  }
}

/** What mending writes itself, or what is computed anew after it. */
const writtenAnew = ["trail", "next", "lots"];

/** Whether a question is for the event that mending wrote itself, of what it took up: there was none of that number. */
function isOfMending(question: string, after: ReadonlyMap<string, string>, { events }: Questions): boolean {
  return (
    question === `event ${events}` &&
    (after.get("trail") ?? "").includes("into the change history that it did not have so")
  );
}

/** What came of one flipped bit. */
export interface Flipped {
  readonly place: string;
  /** The store was not opened, with this sentence. */
  readonly refused?: string;
  /** Questions answered otherwise than before without a word about it. */
  readonly wrong: readonly string[];
  /** Whether anything was answered otherwise, or refused, while verify found no fault. */
  readonly saidSound: boolean;
  /** Why the backup that was made cannot be brought back whole; null where it can, or none was made. */
  readonly uselessBackup: string | null;
  /** Questions answered worse after mending. */
  readonly worse: readonly string[];
  /** Sentences that are no sentence of ours. */
  readonly unsaid: readonly string[];
}

/** Flips one bit of a copy of the template and looks at all that is answered. */
export async function flipOnce(template: Template, seed: number): Promise<Flipped> {
  const { folder } = template;
  const at = join(folder, "flipped");
  rmSync(at, { recursive: true, force: true });
  cpSync(join(folder, "whole"), at, { recursive: true });
  const place = flip(at, chanceFrom(seed));
  const quiet = { wrong: [], saidSound: false, uselessBackup: null, worse: [], unsaid: [] };
  let store: Store;
  try {
    store = await openStore({ databaseUrl: null, folder: at }, clock);
  } catch (fault) {
    return { place, ...quiet, refused: fault instanceof Error ? fault.message : String(fault) };
  }
  return { place, ...(await whatCameOf(store, template)) };
}

/** Looks at all that a damaged store answers, mends it, and looks again. It is closed then. */
export async function whatCameOf(store: Store, template: Template): Promise<Omit<Flipped, "place">> {
  const { truth, asked } = template;
  try {
    const now = await answersOf(store, asked);
    const otherwise = [...truth].filter(
      ([question, answer]) =>
        now.get(question) !== answer && !isYetToCompute(question, now.get(question) ?? "", answer),
    );
    const wrong = otherwise
      .filter(([question]) => !isMarked(now.get(question) ?? ""))
      .map(([question]) => question);
    // The list of lots says what is lost at the end, and every change is refused.
    const isTold = store.lost() !== null && isMarked(now.get("lots") ?? "");
    const faults = await store.verify().then(
      (found) => found.faults,
      (fault: unknown) => [String(fault)],
    );
    // What verify names is not unmarked: the page shows it above everything.
    const made = await backupOf(store).catch(() => null);
    const uselessBackup = made === null || made === template.backup ? null : await whyUseless(made, template);
    await store.mend().catch(() => 0);
    const after = await answersOf(store, asked);
    const worse = [...truth]
      .filter(([question, answer]) => now.get(question) === answer && after.get(question) !== answer)
      .map(([question]) => question)
      .filter((question) => !writtenAnew.includes(question) && !isOfMending(question, after, asked));
    return {
      wrong: isTold ? [] : wrong,
      saidSound: faults.length === 0 && otherwise.length > 0,
      uselessBackup,
      worse,
      unsaid: [...now.values()].filter((text) => /^refused: (database disk|file is not|SQLITE)/.test(text)),
    };
  } finally {
    await store.close().catch(() => {});
  }
}

const listing = z.looseObject({ lots: z.array(z.looseObject({ summary: z.unknown() })) });

/**
 * Whether a list differs only in what of some lots is not computed any more. The last that a log holds may be nothing but
 * that: it is no change, is lost with the log's end, said to be missing, and computed anew.
 */
function isYetToCompute(question: string, now: string, was: string): boolean {
  if (question !== "lots" || now.startsWith("refused: ")) return false;
  const [here, before] = [now, was].map((text) => listing.parse(JSON.parse(text)));
  if (here === undefined || before === undefined) return false;
  const lots = before.lots.map((lot, i) =>
    here.lots[i]?.summary === null ? { ...lot, summary: null } : lot,
  );
  return JSON.stringify({ ...before, lots }) === JSON.stringify(here);
}

function flip(folder: string, chance: (below: number) => number): string {
  const sizes = parts.map((part) => statSync(join(folder, part), { throwIfNoEntry: false })?.size ?? 0);
  let at = chance(sizes.reduce((a, b) => a + b, 0));
  const [whole = 0] = sizes;
  const part = at < whole ? parts[0] : parts[1];
  if (part === parts[1]) at -= whole;
  const bytes = readFileSync(join(folder, part));
  const bit = chance(8);
  bytes.writeUInt8(bytes.readUInt8(at) ^ (1 << bit), at);
  writeFileSync(join(folder, part), bytes);
  return `${part} byte ${at} bit ${bit}`;
}

export async function backupOf(store: Store): Promise<string> {
  let text = "";
  for await (const line of store.backup()) text += line;
  return text;
}

/** Why a backup that was handed out cannot be brought back, or gives less than there was; null where it gives all. */
async function whyUseless(text: string, { folder, truth }: Template): Promise<string | null> {
  const back = join(folder, "back");
  rmSync(back, { recursive: true, force: true });
  mkdirSync(back);
  const restored = await openStore({ databaseUrl: null, folder: back }, clock);
  try {
    await restored.restore(text, someone);
    return JSON.stringify(await restored.entries("lot")) === truth.get("lot") ? null : "it holds other lots";
  } catch (fault) {
    return String(fault);
  } finally {
    await restored.close();
  }
}
