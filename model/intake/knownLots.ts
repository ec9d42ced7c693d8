import { isSameMaterial } from "#model/lot/material.ts";
import { partsOfName } from "./nameParts.ts";
import { unaccented } from "./stageWords.ts";

/** A lot the lab has. */
export interface KnownLot {
  readonly id: number;
  readonly name: string;
  readonly material: string;
}

/** A name by which lots are spoken of, a material's own or the beginning of their names, with their newest. */
export interface LotSeries {
  readonly name: string;
  readonly material: string;
  /** What a new one is called after; null where there is none. */
  readonly newest: KnownLot | null;
}

/** Lots by what tells them apart, so that thousands of names are looked up quickly. */
export interface LotIndex {
  readonly byKey: ReadonlyMap<string, readonly KnownLot[]>;
  readonly series: ReadonlyMap<string, LotSeries>;
}

/** A code as it is compared: case, accents, blanks, hyphens, commas and zeros before a number aside. */
export function codeKey(code: string): string {
  return unaccented(code)
    .toLowerCase()
    .replace(/[\s_,–-]+/g, "")
    .replace(/(?<!\d)0+(?=\d)/g, "");
}

/** What tells a lot from others of its material: "07" of "Garnet host, lot 07"; its whole name where there is no such part. */
export function lotCode(name: string): string {
  return partsOfName(name, { stageWords: [], materials: [] }).lotCode ?? name;
}

/** What stands before the code of a lot's name: "Garnet host" of "Garnet host, lot 07"; empty where that is no name. */
function beginningOf(name: string): string {
  const code = lotCode(name);
  const before = code === name ? "" : name.slice(0, name.lastIndexOf(code));
  const begins = before.replace(/[\s_,-]*\b(?:lot|charge|batch|los|lote|lotto)?\b[\s_.,:#-]*$/i, "").trim();
  return /\p{L}{3}/u.test(begins) && !/\d/.test(begins) ? begins : "";
}

/** @param lots  in the order they were saved */
export function lotIndex(lots: readonly KnownLot[], materials: readonly string[]): LotIndex {
  const byKey = new Map<string, KnownLot[]>();
  const series = new Map<string, LotSeries>();
  const begin = (name: string, material: string, newest: KnownLot | null) =>
    series.set(codeKey(name), { name, material, newest });
  for (const lot of lots) {
    for (const key of new Set([codeKey(lotCode(lot.name)), codeKey(lot.name)])) {
      const before = byKey.get(key);
      if (before === undefined) byKey.set(key, [lot]);
      else before.push(lot);
    }
    const name = beginningOf(lot.name);
    // A beginning that lots of two materials share tells neither.
    const other = series.get(codeKey(name));
    if (name !== "" && (other === undefined || isSameMaterial(other.material, lot.material)))
      begin(name, lot.material, lot);
  }
  for (const name of materials)
    begin(name, name, lots.findLast((lot) => isSameMaterial(lot.material, name)) ?? null);
  return { byKey, series };
}

/** The lots a code may mean, or the one whose whole name it is; where a material or a beginning of names was said, of those alone. */
export function lotsOfCode(index: LotIndex, code: string, said: string | null): readonly KnownLot[] {
  const alike = index.byKey.get(codeKey(code)) ?? [];
  const called = alike.filter(({ name }) => name === code);
  const found = called.length > 0 ? called : alike;
  if (said === null) return found;
  const material = index.series.get(codeKey(said))?.material ?? said;
  const ofMaterial = found.filter((lot) => isSameMaterial(lot.material, material));
  const begun = ofMaterial.filter((lot) => codeKey(lot.name).startsWith(codeKey(said)));
  return begun.length > 0 || isSameMaterial(material, said) ? (begun.length > 0 ? begun : ofMaterial) : [];
}

/** What a new lot is called: as the newest of its like, with its own code; else "lot A7". */
export function newLotName(index: LotIndex, code: string, said: string): string {
  const like = index.series.get(codeKey(said))?.newest ?? null;
  if (like === null) return /\p{L}{3}/u.test(code) ? code : `lot ${code}`;
  const old = lotCode(like.name);
  const at = like.name.lastIndexOf(old);
  return old === like.name || at < 0
    ? code
    : `${like.name.slice(0, at)}${code}${like.name.slice(at + old.length)}`;
}
