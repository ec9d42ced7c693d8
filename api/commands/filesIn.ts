import { readdirSync, statSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";

const tableName = /\.(csv|tsv|txt|json|xlsx)$/i;

/**
 * Paths of the tables in a folder, or of the files that a pattern names, where the shell has not done so: `*` is any
 * letters, `?` one, in the last part of the path. Null when it is neither, or a file has that very name.
 */
export function filesIn(here: string, path: string): readonly string[] | null {
  const whole = resolve(here, path);
  const found = statSync(whole, { throwIfNoEntry: false });
  if (found?.isDirectory() === true)
    return namesIn(whole, (name) => tableName.test(name)).map((name) => join(path, name));
  const pattern = basename(path);
  if (found !== undefined || !/[*?]/.test(pattern)) return null;
  const folder = dirname(path);
  if (statSync(resolve(here, folder), { throwIfNoEntry: false })?.isDirectory() !== true) return null;
  const letters = pattern
    .replace(/[.+^${}()|[\]\\]/g, "\\$&")
    .replace(/\*/g, ".*")
    .replace(/\?/g, ".");
  const named = new RegExp(`^${letters}$`, "u");
  return namesIn(resolve(here, folder), (name) => named.test(name)).map((name) => join(folder, name));
}

function namesIn(folder: string, isWanted: (name: string) => boolean): string[] {
  return readdirSync(folder).filter(isWanted).sort();
}
