import { Inflate } from "fflate";
import { type Problem, problem } from "#distributions/problem.ts";
import { partScan, scanFault } from "./partScan.ts";

/** One file inside a workbook, as the directory at its end states it. */
interface ArchiveEntry {
  readonly name: string;
  readonly method: number;
  readonly packed: number;
  readonly unpacked: number;
  readonly at: number;
}

const maxEntries = 2000;
const maxUnpacked = 64e6;
const slice = 2048;

/**
 * Looks into a workbook before it is unpacked: how many files it holds, how large they say they are and turn out to be,
 * where their names point, whether they declare entities, which could grow without end, and how far from each other
 * the cells lie that they name, since every place between is filled. Null where all is well.
 * Layout of the archive: PKWARE APPNOTE 6.3.4, 4.3.12 and 4.3.16.
 */
export function workbookFault(bytes: Uint8Array): Problem | null {
  const entries = directoryOf(bytes);
  if (entries === null)
    return refused(
      "The workbook is damaged or not complete. Save it again, or make it a CSV file.",
      "no directory of its parts",
      "a whole .xlsx file",
    );
  if (entries.length > maxEntries)
    return refused(
      `The workbook holds ${entries.length} parts, more than ${maxEntries}. Save the sheet with the table in a CSV file.`,
      `${entries.length} parts`,
      `at most ${maxEntries}`,
    );
  const sum = entries.reduce((total, e) => total + e.unpacked, 0);
  if (!(sum <= maxUnpacked)) return tooMuch(sum);
  const stray = entries.find((e) => /(^|[\\/])\.\.([\\/]|$)|^[\\/]|^[a-z]:|\0/i.test(e.name));
  if (stray !== undefined)
    return refused(
      `The workbook has a part named "${stray.name}", which points outside of it, and was not opened. Ask where it came from.`,
      stray.name,
      "names inside the workbook",
    );
  for (const entry of entries) {
    const fault = /\.(xml|rels)$/i.test(entry.name) ? partFault(bytes, entry) : null;
    if (fault !== null) return fault;
  }
  return null;
}

function refused(message: string, found: string, expected: string): Problem {
  return problem("refused", message, { found, expected });
}

function tooMuch(sum: number): Problem {
  return refused(
    `The workbook would unpack to ${Math.round(sum / 1e6)} MB, more than ${maxUnpacked / 1e6} MB, and was not opened. Save the sheet with the table in a CSV file.`,
    `${Math.round(sum / 1e6)} MB`,
    `at most ${maxUnpacked / 1e6} MB`,
  );
}

function directoryOf(bytes: Uint8Array): ArchiveEntry[] | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  // Behind the end record stands a comment of 65,535 bytes at most.
  let end = bytes.length - 22;
  const farthest = Math.max(0, end - 65_535);
  while (end >= farthest && view.getUint32(end, true) !== 0x06054b50) end--;
  if (end < farthest) return null;
  const count = view.getUint16(end + 10, true);
  const entries: ArchiveEntry[] = [];
  let at = view.getUint32(end + 16, true);
  for (let i = 0; i < count; i++) {
    if (at + 46 > bytes.length || view.getUint32(at, true) !== 0x02014b50) return null;
    const nameLength = view.getUint16(at + 28, true);
    entries.push({
      name: new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameLength)),
      method: view.getUint16(at + 10, true),
      packed: view.getUint32(at + 20, true),
      unpacked: view.getUint32(at + 24, true),
      at: view.getUint32(at + 42, true),
    });
    at += 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
  return entries;
}

/** Unpacks a part bit by bit, so that one larger than it says stops at once. */
function partFault(bytes: Uint8Array, entry: ArchiveEntry): Problem | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (entry.at + 30 > bytes.length || view.getUint32(entry.at, true) !== 0x04034b50)
    return refused(
      `The part "${entry.name}" of the workbook is not where it should be. Save it again, or make it a CSV file.`,
      entry.name,
      "a whole .xlsx file",
    );
  const start = entry.at + 30 + view.getUint16(entry.at + 26, true) + view.getUint16(entry.at + 28, true);
  const packed = bytes.subarray(start, start + entry.packed);
  const scan = partScan();
  const take = (chunk: Uint8Array) => scan.take(chunk);
  if (entry.method === 0) take(packed);
  else {
    const inflate = new Inflate(take);
    try {
      for (let from = 0; from < packed.length && scan.found().bytes <= entry.unpacked; from += slice)
        inflate.push(packed.subarray(from, from + slice), from + slice >= packed.length);
    } catch {
      return refused(
        `The part "${entry.name}" of the workbook is damaged. Save it again, or make it a CSV file.`,
        entry.name,
        "a whole .xlsx file",
      );
    }
  }
  const found = scan.found();
  if (found.bytes > entry.unpacked)
    return refused(
      `The part "${entry.name}" of the workbook is larger than it says, and was not opened. Ask where it came from.`,
      `more than ${entry.unpacked} bytes`,
      `${entry.unpacked} bytes`,
    );
  return scanFault(found, entry.name);
}
