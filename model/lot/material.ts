import { folded } from "./processSteps.ts";

/** Whether two names mean the same material: case, blanks and hyphens aside. */
export function isSameMaterial(a: string, b: string): boolean {
  return folded(a) === folded(b);
}

/** The lots of a material, in their order. What is learned from them holds for that material alone. */
export function ofMaterial<L extends { readonly material: string }>(
  lots: readonly L[],
  material: string,
): L[] {
  return lots.filter((lot) => isSameMaterial(lot.material, material));
}

/**
 * The BET pairs that hold for a material. One that was typed without a material holds for it only where the lab
 * has no other: nothing learned crosses from one material to another.
 *
 * @param materials  of all lots of the lab
 */
export function pairsFor<P extends { readonly material?: string }>(
  pairs: readonly P[],
  material: string,
  materials: readonly string[],
): P[] {
  const isAlone = materials.every((other) => isSameMaterial(other, material));
  return pairs.filter((pair) =>
    pair.material === undefined ? isAlone : isSameMaterial(pair.material, material),
  );
}

/**
 * The trials that hold for a material. One that names none holds for it only where the lab has no other.
 *
 * @param materialId  null: lots without a material
 * @param materialIds  of all materials of the lab
 */
export function trialsFor<T extends { readonly materialId?: number }>(
  trials: readonly T[],
  materialId: number | null,
  materialIds: readonly (number | null)[],
): T[] {
  const isAlone = materialIds.every((other) => other === materialId);
  return trials.filter((trial) =>
    trial.materialId === undefined ? isAlone : trial.materialId === materialId,
  );
}

interface LotWithBand {
  readonly id: number;
  readonly material: string;
  readonly bandId: number | null;
}

/**
 * The band a lot is held against: its own, else the one given to the newest other lot of its material. Where the lab has
 * one material only and none of its lots has a band, the first band saved; else none.
 *
 * @param bandIds  of all bands, in the order they were saved
 */
export function bandIdFor(
  lot: LotWithBand,
  lots: readonly LotWithBand[],
  bandIds: readonly number[],
): number | null {
  const isThere = (id: number | null) => id !== null && bandIds.includes(id);
  if (isThere(lot.bandId)) return lot.bandId;
  const given = ofMaterial(lots, lot.material)
    .filter(({ bandId }) => isThere(bandId))
    .toSorted((a, b) => b.id - a.id)[0];
  if (given !== undefined) return given.bandId;
  const isAlone = lots.every((other) => isSameMaterial(other.material, lot.material));
  return isAlone ? (bandIds[0] ?? null) : null;
}
