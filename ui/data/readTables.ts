import { computed } from "@preact/signals";
import { readOrOffer } from "#distributions/tables/nearestReadings.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { isWorkbook } from "#distributions/tables/workbook/workbook.ts";
import { jobs } from "./background.ts";
import { type Incoming, incoming, tables } from "./incoming.ts";
import { largestDirect } from "./openFile.ts";

// How the tables on their way in read with the answers given so far.

export const isLarge = ({ bytes }: Incoming) => bytes !== null && bytes.length > largestDirect;

/** What the reader takes: bytes in any encoding, or the text of a workbook, of a paste, or of what a worker reads. */
export function contentOf(table: Incoming): Uint8Array | string {
  const { bytes, text } = table;
  return bytes === null || isLarge(table) || isWorkbook(bytes) ? text : bytes;
}

/** Whether it came as bytes whose encoding can be told otherwise. */
export function hasEncoding({ bytes }: Incoming): boolean {
  return bytes !== null && !isWorkbook(bytes);
}

const read = new WeakMap<Incoming, Reading>();

/** How a table reads with the answers given so far; worked out once. Null while it is being read. */
export function readingOf(table: Incoming): Reading | null {
  if (table.fault !== null)
    return {
      file: table.file,
      measurements: [],
      problems: [table.fault],
      how: [],
      outcomes: [],
      tables: [],
      notes: [],
    };
  if (isLarge(table)) {
    const job = jobs.value.get(table);
    return job?.state === "read" ? job.reading : null;
  }
  if (table.text.trim() === "") return null;
  const found = read.get(table) ?? readOrOffer(contentOf(table), table.file, table.options);
  read.set(table, found);
  return found;
}

export const reading = computed(() => readingOf(incoming.value));

/** How many measurements are read from a table; of a large one the reading holds the first alone. */
export function countOf(table: Incoming): number {
  const job = jobs.value.get(table);
  return job?.state === "read" ? job.total : (readingOf(table)?.measurements.length ?? 0);
}

/** The text that is saved; a large table has none until it is read. */
export function textOf(table: Incoming): string {
  const job = jobs.value.get(table);
  return job?.state === "read" ? job.text : table.text;
}

/** Every table of which something is read. */
export const readable = computed(() => tables.value.filter((table) => countOf(table) > 0));
