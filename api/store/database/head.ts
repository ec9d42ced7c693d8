import { closeSync, existsSync, openSync, readFileSync, readSync, renameSync, writeFileSync } from "node:fs";
import { z } from "zod";
import { sha256 } from "#api/records/checksum.ts";

/**
 * What stands beside a store's file and says where its record ended, so that a tail that was cut off is noticed, and
 * which log belongs to it. It is written after each change, and never says more than was kept.
 */
const head = z.object({
  /** The last event, and its link in the chain. */
  seq: z.number().int(),
  link: z.string(),
  /** The marks the file may bear while there is a log beside it. */
  generations: z.array(z.number().int()),
});
export type Head = z.infer<typeof head>;

const headPath = (path: string) => `${path}.head`;

/** Null where none is, or where it cannot be read: then nothing is known. */
export function readHead(path: string): Head | null {
  try {
    const [text = "", sum] = readFileSync(headPath(path), "utf8").split("\n");
    return sum === sha256(text) ? head.parse(JSON.parse(text)) : null;
  } catch {
    return null;
  }
}

export function writeHead(path: string, value: Head): void {
  const text = JSON.stringify(value);
  // Several servers on one folder write it at once: each its own, and the last one stays.
  const part = `${headPath(path)}.${process.pid}.part`;
  writeFileSync(part, `${text}\n${sha256(text)}\n`, { mode: 0o600 });
  renameSync(part, headPath(path));
}

/** Where SQLite's header holds the mark an application may set. Source: SQLite's file format, section 1.3. */
const markAt = 68;
/** The length of a log's header and of a frame's. Source: the same, section 4.1. */
const [logHeader, frameHeader] = [32, 24];

function bytesAt(path: string, at: number, count: number): Buffer | null {
  if (!existsSync(path)) return null;
  const file = openSync(path, "r");
  try {
    const bytes = Buffer.alloc(count);
    return readSync(file, bytes, 0, count, at) === count ? bytes : null;
  } finally {
    closeSync(file);
  }
}

/** The mark in a file that is not open here; null where the file is shorter than one. */
function generationOf(path: string): number | null {
  return bytesAt(path, markAt, 4)?.readUInt32BE() ?? null;
}

/**
 * Why the log beside a file that is not open here is not its own; null where it is, or there is none. Each time a log was folded in, the file
 * got a new mark, which the head remembers: a file that was put in the place of another bears a mark of its own.
 */
export function whyForeignLog(path: string): string | null {
  const log = `${path}-wal`;
  const first = bytesAt(log, 0, logHeader + frameHeader);
  const known = readHead(path)?.generations ?? [];
  const mark = generationOf(path);
  if (first === null || known.length === 0 || mark === null || known.includes(mark)) return null;
  return `the log ${log} belongs to another file than the one beside it: one of the two was replaced. Nothing was changed. Put the right file back, or move the log elsewhere to open the file without what the log holds`;
}
