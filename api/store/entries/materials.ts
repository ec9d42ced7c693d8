import type { Kysely } from "kysely";
import { NoSuchEntry } from "#api/records/faults.ts";
import { type Bodies, kinds } from "#api/records/kinds.ts";
import type { Damaged, NewMaterial, SavedMaterial } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, entryOf, readEntries, withIds } from "#api/store/ledger/entries.ts";
import { type EventWriter, plain } from "#api/store/ledger/eventWriter.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import { materialNamed } from "#api/store/ledger/materials.ts";
import { DomainError } from "#distributions/domainError.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import { folded, processSteps, stepNamed } from "#model/lot/processSteps.ts";
import { stages } from "#model/lot/stages.ts";

/** The materials of the lab. What is done to one is done to its lots in the same event. */
export function makeMaterialEntries(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    async materials(): Promise<{ materials: SavedMaterial[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "material");
      return { materials: withIds(kept), damaged };
    },

    /** @throws NoSuchEntry, DamagedEntry */
    async material(id: number): Promise<Bodies["material"]> {
      const found = await entryOf(db, "material", id);
      if (found === null) throw new NoSuchEntry("material", id);
      return found.body;
    },

    /** @throws DomainError  there is one of that name, or it cannot be kept so */
    keepMaterial: (material: NewMaterial, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        await writer.make("material", await checked(writer, material, null));
        return { what: `saved ${kinds.material.title(material)}` };
      }),

    /** A new name goes to its lots and BET pairs, a new density to the lots that had the old one. */
    changeMaterial: (
      id: number,
      material: NewMaterial,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const now = await checked(writer, material, id);
        const was = await writer.change("material", id, expected, () => now);
        await refuseLostSteps(writer, was, now);
        await follow(writer, was, now);
        const isRenamed = was.name !== now.name;
        return {
          what: isRenamed
            ? `renamed material "${was.name}" to "${now.name}"`
            : `changed ${kinds.material.title(now)}`,
        };
      }),

    /** @throws DomainError  it has lots */
    removeMaterial: (id: number, expected: number | null, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.remove("material", id, expected);
        const lots = await lotsOfMaterial(writer.tx, was.name);
        if (lots.length > 0)
          throw new DomainError(
            `material "${was.name}"`,
            "cannot be deleted while lots are of it; merge it with another, or delete its lots",
            `${lots.length} lots`,
          );
        const [trial] = await trialsOf(writer, id);
        if (trial !== undefined)
          throw new DomainError(
            `material "${was.name}"`,
            "cannot be deleted while trials are of it; merge it with another",
            `trial "${trial.body.name}"`,
          );
        for (const known of await knownOf(writer, id)) await writer.remove("belief", known.id, null);
        return { what: `deleted ${kinds.material.title(was)}` };
      }),

    /** All lots and BET pairs of a material become another's; they keep their densities. @throws DomainError  both are one */
    mergeMaterials: (
      { id, intoId }: { readonly id: number; readonly intoId: number },
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        if (id === intoId) throw new DomainError("intoId", "must be another material", intoId);
        const into = await writer.read("material", intoId);
        const was = await writer.remove("material", id, expected);
        const steps = [...into.steps, ...was.steps.filter((step) => stepNamed(into.steps, step.id) === null)];
        if (steps.length > into.steps.length)
          await writer.change("material", intoId, null, (now) => ({ ...now, steps: processSteps(steps) }));
        await follow(writer, was, { ...was, name: into.name });
        for (const trial of await trialsOf(writer, id))
          await writer.change("trial", trial.id, null, (now) => ({ ...now, materialId: intoId }));
        // Of one mill with one material one thing is known: what was known of the material that stays wins.
        const taken = new Set((await knownOf(writer, intoId)).map(({ body }) => body.millId));
        for (const known of await knownOf(writer, id))
          if (taken.has(known.body.millId)) await writer.remove("belief", known.id, null);
          else await writer.change("belief", known.id, null, (now) => ({ ...now, materialId: intoId }));
        return { what: `merged ${kinds.material.title(was)} into "${into.name}"` };
      }),

    /** Some lots of a material become those of a new one. @throws DomainError  a lot is of another material */
    splitMaterial: (
      id: number,
      entered: {
        readonly name: string;
        readonly lotIds: readonly number[];
        readonly densityGPerCm3?: number | undefined;
      },
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.read("material", id);
        const densityGPerCm3 = entered.densityGPerCm3 ?? was.densityGPerCm3;
        const now = await checked(writer, { ...was, name: entered.name, densityGPerCm3 }, null);
        const newId = await writer.make("material", now);
        for (const trial of await trialsOf(writer, id))
          if (trial.body.feed !== undefined && entered.lotIds.includes(trial.body.feed.lotId))
            await writer.change("trial", trial.id, null, (before) => ({ ...before, materialId: newId }));
        for (const lotId of new Set(entered.lotIds)) {
          const lot = await writer.change("lot", lotId, null, (before) => followed(before, was, now));
          if (!isSameMaterial(lot.material, was.name))
            throw new DomainError(`lot "${lot.name}"`, `must be of ${was.name}`, lot.material);
        }
        const lots = entered.lotIds.length === 1 ? "one lot" : `${entered.lotIds.length} lots`;
        return { what: `split ${kinds.material.title(now)} from "${was.name}", with ${lots}` };
      }),
  };
}

/** @throws DomainError  a second one of the name, an empty name, a density not above 0, steps that cannot be kept */
async function checked(
  writer: EventWriter,
  material: NewMaterial,
  id: number | null,
): Promise<Bodies["material"]> {
  const { name, densityGPerCm3, bands } = material;
  if (folded(name) === "") throw new DomainError("name of the material", "must not be empty", name);
  if (!(densityGPerCm3 > 0))
    throw new DomainError("density of the solid (g/cm³)", "must be above 0", densityGPerCm3);
  const other = await materialNamed(writer.tx, name);
  if (other !== null && other.id !== id)
    throw new DomainError(
      "name of the material",
      `must be its own: material ${other.id} is called "${other.body.name}"; merge the two to make them one`,
      name,
    );
  for (const { bandId } of bands) await writer.read("band", bandId);
  return { ...material, name: name.trim(), steps: processSteps(material.steps) };
}

/** @throws DomainError  lots have runs or settings of a step that is no longer there */
async function refuseLostSteps(
  { tx }: EventWriter,
  was: Bodies["material"],
  now: Bodies["material"],
): Promise<void> {
  const known = new Set<string>([...now.steps.map(({ id }) => id), ...stages]);
  for (const { id, name } of was.steps.filter((step) => !known.has(step.id))) {
    const found = await tx
      .selectFrom("entries")
      .innerJoin("lot_list", "lot_list.lot", "entries.parent")
      .select("lot_list.lot")
      .where("entries.kind", "in", ["measurement", "stage", "photograph"])
      .where("entries.part", "=", plain(id))
      .where("lot_list.part", "=", plain(folded(was.name)))
      .executeTakeFirst();
    if (found !== undefined)
      throw new DomainError(`step "${name}"`, "cannot be taken away while lots have it", `lot ${found.lot}`);
  }
}

async function trialsOf(writer: EventWriter, materialId: number) {
  return (await entriesOf(writer.tx, "trial")).kept.filter(({ body }) => body.materialId === materialId);
}

/** What is known of mills with a material. */
async function knownOf(writer: EventWriter, materialId: number) {
  return (await entriesOf(writer.tx, "belief")).kept.filter(({ body }) => body.materialId === materialId);
}

/** The lots of a material, without going through those of all. */
export async function lotsOfMaterial(db: Kysely<Tables>, name: string) {
  const rows = await db
    .selectFrom("entries")
    .select(["id", "body", "checksum", "version"])
    .where("kind", "=", "lot")
    .where("parent", "is", null)
    .where("part", "=", plain(folded(name)))
    .orderBy("id")
    .execute();
  return readEntries("lot", rows).kept;
}

/** What becomes of the lots and BET pairs of a material: they get its new name, and those of its density the new one. */
async function follow(
  writer: EventWriter,
  was: Bodies["material"],
  now: Pick<Bodies["material"], "name" | "densityGPerCm3">,
): Promise<void> {
  if (was.name === now.name && was.densityGPerCm3 === now.densityGPerCm3) return;
  for (const { id } of await lotsOfMaterial(writer.tx, was.name))
    await writer.change("lot", id, null, (lot) => followed(lot, was, now));
  if (was.name === now.name) return;
  for (const { id, body } of (await entriesOf(writer.tx, "pair")).kept)
    if (body.material !== undefined && isSameMaterial(body.material, was.name))
      await writer.change("pair", id, null, (pair) => ({ ...pair, material: now.name }));
}

function followed(
  lot: Bodies["lot"],
  was: Pick<Bodies["material"], "densityGPerCm3">,
  now: Pick<Bodies["material"], "name" | "densityGPerCm3">,
): Bodies["lot"] {
  const isOwn = lot.densityGPerCm3 !== was.densityGPerCm3;
  return {
    ...lot,
    material: now.name,
    densityGPerCm3: isOwn ? lot.densityGPerCm3 : now.densityGPerCm3,
  };
}
