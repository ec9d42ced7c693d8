import { signal } from "@preact/signals";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { type Incoming, tables } from "./incoming.ts";
import type { WorkerAnswer, WorkerQuestion } from "./readerWorker.ts";

/** A table that a worker reads, or has read, so that the page stays free meanwhile. */
export type Job =
  | { readonly state: "reading"; readonly share: number }
  | { readonly state: "stopped"; readonly why: string }
  /** `reading` holds the first of so many measurements. */
  | { readonly state: "read"; readonly reading: Reading; readonly total: number; readonly text: string };

export const jobs = signal<ReadonlyMap<Incoming, Job>>(new Map());

/** More at once would only share the same processors. */
const maxWorkers = 2;
const workers = new Map<Incoming, Worker>();
/** Tables whose turn has not come, and what follows once each is read. */
const waiting = new Map<Incoming, () => void>();

/** Reads a table, at once or when another is done; `then` runs once it is read. */
export function readInBackground(table: Incoming, then: () => void): void {
  if (workers.has(table)) return;
  put(table, { state: "reading", share: 0 });
  waiting.set(table, then);
  next();
}

function begin(table: Incoming, then: () => void): void {
  const worker = workerFor(table, null);
  if (worker === null) return;
  workers.set(table, worker);
  const stop = (message: string) => {
    put(table, { state: "stopped", why: `A fault of Fineband's own: ${message}.` });
    end(table);
  };
  worker.addEventListener("message", ({ data }: MessageEvent<WorkerAnswer>) => {
    if (data.kind === "progress") put(table, { state: "reading", share: data.share });
    if (data.kind === "fault") stop(data.message);
    if (data.kind !== "read") return;
    const { reading, total, text } = data;
    put(table, { state: "read", reading, total, text });
    end(table);
    then();
  });
  worker.addEventListener("error", ({ message }) => stop(message ?? "its reader could not be loaded"));
}

/** Stops reading; nothing of the table is lost, and it can be read after all. */
export function stopReading(table: Incoming): void {
  put(table, { state: "stopped", why: "Reading was stopped." });
  end(table);
}

/** Lets go of every table but these. */
function forgetOthers(saved: readonly Incoming[]): void {
  jobs.value = new Map([...jobs.value].filter(([table]) => saved.includes(table)));
  for (const table of [...waiting.keys(), ...workers.keys()]) if (!saved.includes(table)) end(table);
}

/** All that is read from a table, written as a copy; rejects where that fails. */
export function writeInBackground(
  table: Incoming,
  write: NonNullable<WorkerQuestion["write"]>,
): Promise<string> {
  return new Promise((resolve, reject) => {
    const worker = workerFor(table, write);
    const fail = (message: string) => {
      worker?.terminate();
      reject(new Error(message));
    };
    if (worker === null) fail("nothing of it is here any more");
    worker?.addEventListener("error", ({ message }) => fail(message ?? "the reader could not be loaded"));
    worker?.addEventListener("message", ({ data }: MessageEvent<WorkerAnswer>) => {
      if (data.kind === "fault") fail(data.message);
      if (data.kind !== "written") return;
      worker.terminate();
      resolve(data.text);
    });
  });
}

function workerFor({ bytes, file, options }: Incoming, write: WorkerQuestion["write"]): Worker | null {
  if (bytes === null) return null;
  const worker = new Worker(new URL("./readerWorker.ts", import.meta.url), { type: "module" });
  const asked: WorkerQuestion = { bytes, file, options, write };
  worker.postMessage(asked);
  return worker;
}

function end(table: Incoming): void {
  workers.get(table)?.terminate();
  workers.delete(table);
  waiting.delete(table);
  next();
}

function next(): void {
  for (const [table, then] of waiting) {
    if (workers.size >= maxWorkers) return;
    waiting.delete(table);
    begin(table, then);
  }
}

function put(table: Incoming, job: Job): void {
  jobs.value = new Map(jobs.value).set(table, job);
}

tables.subscribe(forgetOthers);
