import type { Contract } from "#api/contract/contract.ts";
import { ask, attempt, said } from "#ui/data/client.ts";
import { loadAll } from "#ui/data/entries.ts";
import { momentText } from "#ui/parts/days.ts";

/** Where the browser saves copies from. */
export const copyLinks = [
  { href: "api/backup", name: "Backup with the whole change history" },
  { href: "api/copy", name: "Current data as one JSON file" },
  { href: "api/copy/tables", name: "Current data as a folder of CSV files (zip)" },
] as const;

/** Replaces all data by what a file, or the CSV files of a folder, hold. Undo reverses it. */
export function importCopy(files: readonly File[]): Promise<boolean> {
  return attempt(async () => {
    const [first] = files;
    if (first === undefined) return;
    const isFolder = files.every((file) => file.name.endsWith(".csv"));
    const body = isFolder ? JSON.stringify({ tables: await textsOf(files) }) : await first.text();
    const { seq, withTrail } = await ask("POST /api/copy", { text: body });
    said.value = wordsOf(seq !== null, withTrail);
    await loadAll();
  });
}

async function textsOf(files: readonly File[]): Promise<Record<string, string>> {
  return Object.fromEntries(
    await Promise.all(files.map(async (file) => [file.name, await file.text()] as const)),
  );
}

function wordsOf(isChanged: boolean, withTrail: boolean): string {
  if (!isChanged) return "Nothing changed: the file holds the current data.";
  return withTrail
    ? "The backup is imported with its change history."
    : "The file is imported. Undo restores the data from before.";
}

/** Which backup that was made by itself would be brought back, and what stands in the way of the next. */
export async function backupWords(): Promise<string> {
  const { lastBackup, backupsCheckedAt, isWritable } = await ask("GET /api/health", {});
  const writing = isWritable === false ? " Nothing can be saved at present; docs/recovery.md says why." : "";
  if (lastBackup === undefined) return "";
  if (lastBackup === null)
    return `No automatic backup yet: one is made once a day where anything changed.${writing}`;
  const checked =
    backupsCheckedAt == null
      ? ""
      : ` All automatic backups were last read back on ${momentText(backupsCheckedAt)}.`;
  return `Last automatic backup: ${lastBackup.name}, made on ${momentText(lastBackup.at)} and read back whole.${checked}${writing}`;
}

/** Every checksum and the whole record gone through. */
export function askVerify(): Promise<Contract["GET /api/verify"]["answer"]> {
  return ask("GET /api/verify", {});
}
