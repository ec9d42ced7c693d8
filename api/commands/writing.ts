import { lstat, open, rename, rm } from "node:fs/promises";

/**
 * Writes a text as its pieces come. What stood at the path stays until all of the new is on the disk.
 *
 * @returns  how many lines it has
 */
export async function writePieces(path: string, pieces: AsyncIterable<string>): Promise<number> {
  const there = await lstat(path).catch(() => null);
  // What is no file of its own, such as a terminal or a link, is written to, not replaced.
  const isReplaced = there === null || there.isFile();
  const part = isReplaced ? `${path}.part` : path;
  let lines = 0;
  try {
    const file = await open(part, "w");
    try {
      for await (const piece of pieces) {
        lines += piece.split("\n").length - 1;
        await file.appendFile(piece);
      }
      if (isReplaced) await file.sync();
    } finally {
      await file.close();
    }
    if (isReplaced) await rename(part, path);
    return lines;
  } finally {
    if (isReplaced) await rm(part, { force: true });
  }
}
