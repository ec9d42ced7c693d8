import type { Kysely } from "kysely";
import type { Bodies } from "#api/records/kinds.ts";
import type { Saved } from "#api/records/records.ts";
import { bodyIn } from "#api/records/stored.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { folded, usualSteps } from "#model/lot/processSteps.ts";
import { entriesById, readEntries } from "./entries.ts";
import { type EventWriter, plain } from "./eventWriter.ts";

type Lot = Bodies["lot"];

/** The material of a name, case and blanks aside; null where there is none. */
export async function materialNamed(db: Kysely<Tables>, name: string): Promise<Saved<"material"> | null> {
  const rows = await db
    .selectFrom("entries")
    .select(["id", "body", "checksum", "version"])
    .where("kind", "=", "material")
    .where("parent", "is", null)
    .where("part", "=", plain(folded(name)))
    .execute();
  return readEntries("material", rows).kept[0] ?? null;
}

/** Makes the material of each lot that an event would leave without one, in the same event: a name finds it or makes it. */
export async function withMaterials(writer: EventWriter): Promise<void> {
  const written = writer.steps.flatMap(({ kind, after }) =>
    kind === "lot" && after !== null ? [bodyIn("lot", after)] : [],
  );
  await makeMaterials(writer, written);
}

/** Makes the materials that these lots name and that are not there. @param lots  in the order they were saved */
export async function makeMaterials(writer: EventWriter, lots: readonly Lot[]): Promise<void> {
  for (const [name, own] of byMaterial(lots)) {
    const isMade = writer.steps.some(
      ({ kind, after }) =>
        kind === "material" && after !== null && folded(bodyIn("material", after).name) === name,
    );
    if (isMade || (await stands(writer, name))) continue;
    await writer.make("material", await materialOf(writer, own));
  }
}

/** Whether there is a material of that name which this event neither deletes nor renames. */
async function stands(writer: EventWriter, name: string): Promise<boolean> {
  const found = await materialNamed(writer.tx, name);
  return found !== null && !writer.steps.some(({ kind, id }) => kind === "material" && id === found.id);
}

function byMaterial(lots: readonly Lot[]): ReadonlyMap<string, readonly Lot[]> {
  const named = lots.filter((lot) => folded(lot.material) !== "");
  return grouped(named, (lot) => folded(lot.material));
}

/** What the lots of a name say of their material: the density most of them have, the band of the newest that has one. */
async function materialOf(writer: EventWriter, lots: readonly Lot[]): Promise<Bodies["material"]> {
  const newest = lots.toReversed();
  const [first] = newest;
  if (first === undefined) throw new Error("A material is made of the lots that name it.");
  const ofDensity = [...grouped(newest, (lot) => lot.densityGPerCm3)];
  const [[densityGPerCm3] = [first.densityGPerCm3]] = ofDensity.toSorted(
    ([, a], [, b]) => b.length - a.length,
  );
  const bandIds = newest.flatMap((lot) => lot.bandId ?? []).slice(0, 1);
  const bands = (await entriesById(writer.tx, "band", bandIds)).kept;
  return {
    name: first.material.trim(),
    densityGPerCm3,
    steps: usualSteps,
    bands: bands.map(({ id, body }) => ({ stage: body.stage, bandId: id })),
    note: "",
  };
}

function grouped<T, K>(all: readonly T[], keyOf: (one: T) => K): ReadonlyMap<K, readonly T[]> {
  const groups = new Map<K, T[]>();
  for (const one of all) {
    const group = groups.get(keyOf(one));
    if (group === undefined) groups.set(keyOf(one), [one]);
    else group.push(one);
  }
  return groups;
}
