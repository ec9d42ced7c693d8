import { isSameMaterial } from "#model/lot/material.ts";
import { partsOfName } from "./nameParts.ts";
import { unaccented } from "./stageWords.ts";

/** A lot the lab has. */
export interface KnownLot {
  readonly id: number;
  readonly name: string;
  readonly material: string;
}

/** Lots by what tells them apart, so that thousands of names are looked up quickly. */
export interface LotIndex {
  readonly byKey: ReadonlyMap<string, readonly KnownLot[]>;
  /** The newest lot of each material by its folded name: new lots are called after it. */
  readonly newest: ReadonlyMap<string, KnownLot>;
  readonly materials: readonly string[];
}

/** A code as it is compared: case, accents, blanks, hyphens and zeros before a number aside. */
export function codeKey(code: string): string {
  return unaccented(code)
    .toLowerCase()
    .replace(/[\s_–-]+/g, "")
    .replace(/(?<!\d)0+(?=\d)/g, "");
}

/** What tells a lot from others of its material: "07" of "Garnet host, lot 07"; its whole name where there is no such part. */
export function lotCode({ name, material }: Pick<KnownLot, "name" | "material">): string {
  return partsOfName(name, { stageWords: [], materials: [material] }).lotCode ?? name;
}

/** @param lots  in the order they were saved */
export function lotIndex(lots: readonly KnownLot[], materials: readonly string[]): LotIndex {
  const byKey = new Map<string, KnownLot[]>();
  const newest = new Map<string, KnownLot>();
  for (const lot of lots) {
    for (const key of new Set([codeKey(lotCode(lot)), codeKey(lot.name)]))
      byKey.set(key, [...(byKey.get(key) ?? []), lot]);
    newest.set(codeKey(lot.material), lot);
  }
  return { byKey, newest, materials };
}

/** The lots a code may mean, of one material where it is known. */
export function lotsOfCode(index: LotIndex, code: string, material: string | null): readonly KnownLot[] {
  const found = index.byKey.get(codeKey(code)) ?? [];
  return material === null ? found : found.filter((lot) => isSameMaterial(lot.material, material));
}

/** What a new lot is called: as the newest of its material, with its own code; else "lot A7". */
export function newLotName(index: LotIndex, code: string, material: string): string {
  const like = index.newest.get(codeKey(material));
  if (like === undefined) return /\p{L}{3}/u.test(code) ? code : `lot ${code}`;
  const old = lotCode(like);
  const at = like.name.lastIndexOf(old);
  return old === like.name || at < 0
    ? code
    : `${like.name.slice(0, at)}${code}${like.name.slice(at + old.length)}`;
}
