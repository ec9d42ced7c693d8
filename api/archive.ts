import { readFileSync } from "node:fs";
import { unzipSync } from "fflate";

/** Files of a folder that travels as one ZIP archive, by their paths. */
export function archiveOf(path: string): ReadonlyMap<string, Uint8Array> {
  return new Map(Object.entries(unzipSync(readFileSync(path))));
}

export const isArchive = (path: string): boolean => path.endsWith(".zip");
