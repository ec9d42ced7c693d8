import type { Contract } from "#api/contract/contract.ts";
import { ask, attempt, said } from "#ui/data/client.ts";
import { loadAll } from "#ui/data/entries.ts";

/** Where the browser saves copies from. */
export const copyLinks = [
  { href: "api/backup", name: "Backup with the whole trail" },
  { href: "api/copy", name: "What stands, as one JSON" },
  { href: "api/copy/tables", name: "What stands, as a folder of CSV (zip)" },
] as const;

/** Makes what stands what a saved file, or the CSV files of a folder, hold. Undo takes it back. */
export function bringCopyBack(files: readonly File[]): Promise<boolean> {
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
  if (!isChanged) return "Nothing changed: what stands is what the copy holds.";
  return withTrail ? "The backup is back, with its trail." : "The copy is back. Undo takes it back again.";
}

/** Every checksum and the whole record gone through. */
export function askVerify(): Promise<Contract["GET /api/verify"]["answer"]> {
  return ask("GET /api/verify", {});
}
