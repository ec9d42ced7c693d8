import type { Kysely } from "kysely";
import type { Bodies } from "#api/records/kinds.ts";
import type { LotState, NewLot } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesById, readEntries } from "#api/store/ledger/entries.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";
import { materialNamed } from "#api/store/ledger/materials.ts";
import { DomainError } from "#distributions/domainError.ts";
import { type Child, type Parent, parentsOf } from "#model/lot/lineage.ts";
import { isSameMaterial } from "#model/lot/material.ts";

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
  told: NewLot,
  { id, was }: { readonly id: number; readonly was: Lot | null },
): Promise<Omit<Lot, "keptAt">> {
  const found =
    typeof told.materialId === "number"
      ? await writer.read("material", told.materialId)
      : ((await materialNamed(writer.tx, told.material))?.body ?? null);
  const material = found?.name ?? told.material;
  const isSame = was !== null && isSameMaterial(was.material, material);
  const densityGPerCm3 = told.densityGPerCm3 ?? (isSame ? was.densityGPerCm3 : found?.densityGPerCm3);
  if (densityGPerCm3 === undefined)
    throw new DomainError(
      "density of the solid (g/cm³)",
      material === ""
        ? "must be told, because the lot names no material"
        : `must be told, because there is no material "${material}" yet`,
      "nothing",
    );
  const dateMade = told.dateMade === undefined ? was?.dateMade : told.dateMade;
  const parents = told.parents ?? was?.parents ?? [];
  if (told.parents !== undefined) await checkParents(writer, { id, parents });
  return {
    name: told.name,
    material,
    densityGPerCm3,
    bandId: told.bandId,
    note: told.note,
    ...(typeof dateMade === "string" ? { dateMade } : {}),
    ...(parents.length === 0 ? {} : { parents }),
    ...(was?.state === undefined ? {} : { state: was.state }),
  };
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

/** @throws DomainError  other lots come from it, or went into it */
export async function refuseWhileParent(db: Kysely<Tables>, id: number, name: string): Promise<void> {
  const rows = await db
    .selectFrom("entries")
    .select(["id", "body", "checksum", "version"])
    .where("kind", "=", "lot")
    .where("id", "<>", id)
    .where((eb) => eb.or([eb("body", "like", `%"lotId":${id},%`), eb("body", "like", `%"lotId":${id}}%`)]))
    .execute();
  const tied = readEntries("lot", rows).kept.filter(
    ({ body }) => body.state?.lotId === id || body.parents?.some((parent) => parent.lotId === id) === true,
  );
  const [first] = tied;
  if (first !== undefined)
    throw new DomainError(
      `lot "${name}"`,
      "cannot be deleted while other lots come from it or went into it",
      `lot "${first.body.name}"`,
    );
}
