import { mkdirSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Kysely } from "kysely";
import { backupLines } from "#api/store/database/record.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf } from "#api/store/ledger/entries.ts";
import { missingIds } from "#api/store/ledger/heldToRecord.ts";
import { append, ownDoing } from "#api/store/ledger/ledger.ts";
import { makeMaterials } from "#api/store/ledger/materials.ts";
import { folded } from "#model/lot/processSteps.ts";
import { counted, listed } from "#model/words/wording.ts";

/**
 * Makes a material of each name that lots kept before there were materials have; the lots stay as they are, and each
 * keeps its own density where it differs. All in one event or none; a store that has them is left alone.
 *
 * @param folder  where a backup of before is written; null for none
 */
export async function materialsOfBefore(
  db: Kysely<Tables>,
  clock: () => Date,
  folder: string | null,
): Promise<void> {
  if (!(await lacksMaterials(db))) return;
  await append(db, clock, ownDoing, async (writer) => {
    // Another server may have done it while this one waited.
    if (!(await lacksMaterials(writer.tx))) return { what: "" };
    if (folder !== null) await writeBefore(writer.tx, folder, writer.seq - 1);
    const lots = (await entriesOf(writer.tx, "lot")).kept.map(({ body }) => body);
    await makeMaterials(writer, lots);
    const made = counted(writer.steps.length, "material");
    const unnamed = lots.filter((lot) => folded(lot.material) === "").map((lot) => `"${lot.name}"`);
    return { what: `made ${made} of the names that lots have${withoutMaterial(unnamed)}` };
  });
}

const maxNamed = 20;

/** The lots whose material nobody can tell, said once. */
function withoutMaterial(lots: readonly string[]): string {
  if (lots.length === 0) return "";
  const rest = lots.length - maxNamed;
  const others = rest > 0 ? [`${rest} more`] : [];
  return `; without a material: ${listed([...lots.slice(0, maxNamed), ...others])}`;
}

/** Whether a lot names a material that is not there. */
async function lacksMaterials(db: Kysely<Tables>): Promise<boolean> {
  const names = (kind: string) =>
    db.selectFrom("entries").select("part").distinct().where("kind", "=", kind).execute();
  const there = new Set((await names("material")).map(({ part }) => part));
  const isLacking = (await names("lot")).some(({ part }) => part !== "" && !there.has(part));
  // One that the change history has is damaged: it is mended, never made anew beside.
  return isLacking && (await missingIds(db, "material", null)).length === 0;
}

/** The whole record as a backup, whole or not at all. */
async function writeBefore(db: Kysely<Tables>, folder: string, event: number): Promise<void> {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const path = join(folder, `before-materials-${event}.jsonl`);
  const lines: string[] = [];
  for await (const line of backupLines(db)) lines.push(line);
  writeFileSync(`${path}.part`, lines.join(""), { mode: 0o600 });
  renameSync(`${path}.part`, path);
}
