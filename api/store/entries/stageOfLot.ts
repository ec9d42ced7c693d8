import type { Kysely } from "kysely";
import { NoSuchEntry } from "#api/records/faults.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entryOf } from "#api/store/ledger/entries.ts";
import { materialNamed } from "#api/store/ledger/materials.ts";
import { type ProcessStep, stageMeant, usualSteps } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";

/** What lots of a material go through; the usual where it is not saved. */
export async function stepsOf(db: Kysely<Tables>, material: string): Promise<readonly ProcessStep[]> {
  return (await materialNamed(db, material))?.body.steps ?? usualSteps;
}

/** The stage of a material that a word means. @throws DomainError  it means none */
export async function stageOf(db: Kysely<Tables>, material: string, word: string): Promise<Stage> {
  return stageMeant(await stepsOf(db, material), word);
}

/** The stage of a lot that a word means. @throws NoSuchEntry  the lot @throws DomainError  it means none */
export async function stageOfLot(db: Kysely<Tables>, lotId: number, word: string): Promise<Stage> {
  const lot = await entryOf(db, "lot", lotId);
  if (lot === null) throw new NoSuchEntry("lot", lotId);
  return stageOf(db, lot.body.material, word);
}
