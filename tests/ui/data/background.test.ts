import { afterAll, afterEach, expect, test, vi } from "vitest";
import { jobs, readInBackground, stopReading, writeInBackground } from "../../../ui/data/background.ts";
import { nothing, tables } from "../../../ui/data/incoming.ts";
import type { WorkerAnswer } from "../../../ui/data/readerWorker.ts";

/** A worker that says only what the test has it say. */
class Told extends EventTarget {
  static made: Told[] = [];
  isEnded = false;
  constructor() {
    super();
    Told.made.push(this);
  }
  postMessage(): void {}
  terminate(): void {
    this.isEnded = true;
  }
  say(data: WorkerAnswer): void {
    this.dispatchEvent(new MessageEvent("message", { data }));
  }
}

vi.stubGlobal("Worker", Told);
afterAll(() => {
  vi.unstubAllGlobals();
});
afterEach(() => {
  tables.value = [];
  Told.made = [];
});

const large = (file: string) => ({ ...nothing, file, bytes: new Uint8Array(1) });
const bring = (count: number) => {
  tables.value = Array.from({ length: count }, (_, i) => large(`${i}.csv`));
  for (const table of tables.value) readInBackground(table, () => undefined);
  return tables.value;
};
const fault = { kind: "fault", message: "out of memory" } as const;

test("a fault while reading is said, and the next table is read in its place", () => {
  const [first, , third] = bring(3);
  expect(Told.made.length).toBe(2);
  Told.made[0]?.say(fault);
  expect(first && jobs.value.get(first)).toEqual({
    state: "stopped",
    why: "A fault of Fineband's own: out of memory.",
  });
  expect(Told.made[0]?.isEnded).toBe(true);
  expect(Told.made.length).toBe(3);
  expect(third && jobs.value.get(third)?.state).toBe("reading");
});

test("a waiting table that was cancelled and is then read after all is read once", () => {
  const [first, , third] = bring(3);
  if (first === undefined || third === undefined) throw new Error("three tables were brought");
  stopReading(third);
  readInBackground(third, () => undefined);
  stopReading(first);
  expect(Told.made.length).toBe(3);
  readInBackground(third, () => undefined);
  for (const worker of Told.made.slice(1)) worker.say(fault);
  expect(Told.made.length).toBe(3);
});

test("a fault while writing is told to the one who asked, as is a table without bytes", async () => {
  const write = { as: "csv", copy: {}, entered: {} } as const;
  const written = writeInBackground(large("0.csv"), write);
  Told.made[0]?.say(fault);
  await expect(written).rejects.toThrow("out of memory");
  expect(Told.made[0]?.isEnded).toBe(true);
  await expect(writeInBackground(nothing, write)).rejects.toThrow();
});
