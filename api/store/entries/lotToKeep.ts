import type { Kysely } from "kysely";
import type { Bodies, EntryKind } from "#api/records/kinds.ts";
import type { LotState, NewLot } from "#api/records/records.ts";
import { patched, withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesById, readEntries } from "#api/store/ledger/entries.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";
import { materialNamed } from "#api/store/ledger/materials.ts";
import { DomainError } from "#distributions/domainError.ts";
import { type Child, type Parent, parentsOf } from "#model/lot/lineage.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import { stageMeant, usualSteps } from "#model/lot/processSteps.ts";
import { stageOfLot } from "./stageOfLot.ts";

type Lot = Bodies["lot"];
/** What a person says of the state; who and when the server knows. */
export type StateTold = Pick<LotState, "name" | "why" | "lotId">;

/**
 * A lot as it is to be kept from what was told of it. What was left out stays as it was; the material that the number or
 * the name finds gives its spelling, and its density where none was told.
 *
 * @throws NoSuchEntry  the material, band or a parent is not there
 * @throws DomainError  no density is known, or the parents cannot be
 */
export async function lotToKeep(
  writer: EventWriter,
  entered: NewLot,
  { id, was }: { readonly id: number; readonly was: Lot | null },
): Promise<Omit<Lot, "keptAt">> {
  const named = entered.material ?? was?.material ?? "";
  const found =
    typeof entered.materialId === "number"
      ? await writer.read("material", entered.materialId)
      : ((await materialNamed(writer.tx, named))?.body ?? null);
  const material = found?.name ?? named;
  const isSame = was !== null && isSameMaterial(was.material, material);
  const densityGPerCm3 = entered.densityGPerCm3 ?? (isSame ? was.densityGPerCm3 : found?.densityGPerCm3);
  if (densityGPerCm3 === undefined)
    throw new DomainError(
      "density of the solid (g/cm³)",
      material === ""
        ? "must be stated, because the lot names no material"
        : `must be stated, because there is no material "${material}" yet`,
      "nothing",
    );
  const parents =
    entered.parents === undefined ? (was?.parents ?? []) : await parentsMeant(writer, id, entered.parents);
  if (entered.parents !== undefined) await checkParents(writer, { id, parents });
  if (was !== null && !isSame) await checkStages(writer, id, found);
  return {
    name: entered.name,
    material,
    densityGPerCm3,
    bandId: entered.bandId,
    note: entered.note,
    ...withoutUndefined({
      dateMade: patched(was?.dateMade, entered.dateMade),
      parents: parents.length === 0 ? undefined : parents,
      state: was?.state,
      exclusionReason: patched(was?.exclusionReason, entered.exclusionReason),
    }),
  };
}

/** Where powder was taken from, each stage by the word of its lot's material. @throws NoSuchEntry, DomainError */
async function parentsMeant(writer: EventWriter, id: number, told: readonly Parent[]): Promise<Parent[]> {
  const parents: Parent[] = [];
  for (const parent of told)
    parents.push(
      parent.lotId === id
        ? parent
        : { ...parent, stage: await stageOfLot(writer.tx, parent.lotId, parent.stage) },
    );
  return parents;
}

/** @throws DomainError  the lot was measured at a stage that its new material does not know */
async function checkStages(
  writer: EventWriter,
  id: number,
  material: Bodies["material"] | null,
): Promise<void> {
  const rows = await writer.tx.selectFrom("lot_stages").select("stage").where("lot", "=", id).execute();
  for (const { stage } of rows) stageMeant(material?.steps ?? usualSteps, stage);
}

/** Goes through all that the powder came from. @throws NoSuchEntry, DomainError */
async function checkParents(writer: EventWriter, child: Child): Promise<void> {
  const known = new Map<number, Child>();
  let next = child.parents.filter((parent) => parent.lotId !== child.id);
  for (const { lotId } of next) await writer.read("lot", lotId);
  while (next.length > 0) {
    const ids = [...new Set(next.map((parent) => parent.lotId))].filter((lotId) => !known.has(lotId));
    const { kept } = await entriesById(writer.tx, "lot", ids);
    const found = kept.map((lot) => ({ id: lot.id, parents: lot.body.parents ?? [] }));
    for (const lot of found) known.set(lot.id, lot);
    next = found.flatMap((lot): readonly Parent[] => lot.parents);
  }
  parentsOf(child, [...known.values()]);
}

/** @throws NoSuchEntry  the lot it went into @throws DomainError  none was told, or one where none can be */
export async function stateToKeep(writer: EventWriter, id: number, state: LotState): Promise<LotState> {
  const isGone = state.name === "reworked into" || state.name === "blended into";
  if (isGone && (state.lotId === null || state.lotId === id))
    throw new DomainError(`lotId of a lot ${state.name} another`, "must name that other lot", state.lotId);
  if (!isGone && state.lotId !== null)
    throw new DomainError(`lotId of a lot that is ${state.name}`, "must be null", state.lotId);
  if (state.lotId !== null) await writer.read("lot", state.lotId);
  return state;
}

/** @throws DomainError  other lots come from it or went into it, or trials were fed with it or made it */
export async function refuseWhileNamed(db: Kysely<Tables>, id: number, name: string): Promise<void> {
  const naming = async <K extends EntryKind>(kind: K) => {
    const rows = await db
      .selectFrom("entries")
      .select(["id", "body", "checksum", "version"])
      .where("kind", "=", kind)
      .where((eb) => eb.or([eb("body", "like", `%"lotId":${id},%`), eb("body", "like", `%"lotId":${id}}%`)]))
      .execute();
    return readEntries(kind, rows).kept;
  };
  const lot = (await naming("lot")).find(
    (one) =>
      one.id !== id &&
      (one.body.state?.lotId === id || one.body.parents?.some(({ lotId }) => lotId === id) === true),
  );
  const trial = (await naming("trial")).find(
    ({ body }) => body.feed?.lotId === id || body.sample?.lotId === id,
  );
  const why = "cannot be deleted while";
  if (lot !== undefined)
    throw new DomainError(
      `lot "${name}"`,
      `${why} other lots come from it or went into it`,
      `lot "${lot.body.name}"`,
    );
  if (trial !== undefined)
    throw new DomainError(
      `lot "${name}"`,
      `${why} trials were fed with it or made it`,
      `trial "${trial.body.name}"`,
    );
}
