import type { ProcessStep } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import { listed } from "#model/words/wording.ts";
import { codeKey, type KnownLot, type LotIndex, lotIndex, lotsOfCode, newLotName } from "./knownLots.ts";
import { materialWords, type NameParts, type NameWords, partsOfName } from "./nameParts.ts";
import { type NamePattern, partsByPattern } from "./namePattern.ts";
import { stageWords } from "./stageWords.ts";

/** A material the lab has. */
export interface KnownMaterial {
  readonly name: string;
  readonly steps: readonly ProcessStep[];
}

/** What a lab has that names are read against. */
export interface KnownLab {
  readonly materials: readonly string[];
  readonly words: NameWords;
  readonly lots: LotIndex;
}

/** A measurement that is to be filed: the file it stands in and its own name there. */
export interface RunNamed {
  readonly file: string | null;
  readonly name: string;
}

/** What a person said of a measurement, over what its names say; what is absent was not said. */
export interface RunSaid {
  readonly material?: string | null;
  /** A code or the whole name of a lot. */
  readonly lot?: string | null;
  readonly stage?: Stage | null;
  readonly portion?: string | null;
}

/** Where a measurement goes. What stays null must be said before it can be saved; a portion need not be. */
export interface RunPlace {
  readonly material: string | null;
  /** A lot the lab has; null where it is a new one, or none is known. */
  readonly lotId: number | null;
  /** The lot's name: as it is saved, or as the new one is to be called. */
  readonly lot: string | null;
  readonly stage: Stage | null;
  readonly portion: string | null;
  /** Why something stays open, as a sentence; null where nothing does. */
  readonly question: string | null;
}

/** Names of materials and beginnings of lots that names are looked through for; materials stand last. */
const maxCalled = 500;

/** @param lots  in the order they were saved */
export function knownLab(materials: readonly KnownMaterial[], lots: readonly KnownLot[]): KnownLab {
  const index = lotIndex(
    lots,
    materials.map(({ name }) => name),
  );
  const called = [...index.series.values()].map(({ name }) => name);
  return {
    words: {
      stageWords: stageWords(materials.flatMap(({ steps }) => steps)),
      materials: materialWords(called.slice(-maxCalled)),
    },
    lots: index,
    materials: materials.map(({ name }) => name),
  };
}

/** What a measurement's own name and its file's say together: its own first, then the file's, a pattern before both. */
export function saidByNames(
  { file, name }: RunNamed,
  { words }: KnownLab,
  pattern: NamePattern | null = null,
): NameParts {
  const own = partsOfName(name, words);
  const ofFile = file === null ? null : partsOfName(file, words);
  const byPattern =
    pattern === null
      ? null
      : ((file === null ? null : partsByPattern(file, pattern, words)) ??
        partsByPattern(name, pattern, words));
  // A number in a column's heading is seldom a lot where the file names one.
  const isOwnLot = ofFile?.lotCode == null || /\p{L}\s*-?\d/u.test(own.lotCode ?? "");
  return {
    material: own.material ?? ofFile?.material ?? null,
    lotCode: isOwnLot ? (own.lotCode ?? ofFile?.lotCode ?? null) : (ofFile?.lotCode ?? null),
    stage: own.stage ?? ofFile?.stage ?? null,
    portion: own.portion ?? ofFile?.portion ?? null,
    run: own.run ?? ofFile?.run ?? null,
    ...byPattern,
  };
}

/** Where a measurement goes: what a person said, else what its names say, else what the lab leaves no choice about. */
export function placeOf(parts: NameParts, said: RunSaid, lab: KnownLab): RunPlace {
  const [only] = lab.materials;
  const alone = lab.materials.length === 1 && only !== undefined ? only : null;
  const called = said.material === undefined ? parts.material : said.material;
  const code = said.lot === undefined ? parts.lotCode : said.lot;
  const stage = said.stage === undefined ? parts.stage : said.stage;
  const portion = said.portion === undefined ? parts.portion : said.portion;
  const found = code === null ? [] : lotsOfCode(lab.lots, code, called);
  const [lot] = found;
  if (lot !== undefined && found.length === 1)
    return filed({ material: lot.material, lotId: lot.id, lot: lot.name, stage, portion });
  const like = called ?? (found.length === 0 ? alone : null);
  const material = like === null ? null : (lab.lots.series.get(codeKey(like))?.material ?? like);
  if (found.length > 1) {
    const which = found.map(({ name, material: of }) => `${name} (${of})`).join(" and ");
    const question = `${which} are both meant by ${code}; say the material, or the lot's whole name.`;
    return { material, lotId: null, lot: code, stage, portion, question };
  }
  const name = code === null || like === null ? code : wholeName(lab, code, like);
  return filed({ material, lotId: null, lot: name, stage, portion });
}

/** What was typed in full is taken as it stands; a code becomes a name like those of its material. */
function wholeName(lab: KnownLab, code: string, like: string): string {
  return /\s/.test(code.trim()) ? code.trim() : newLotName(lab.lots, code, like);
}

function filed(place: Omit<RunPlace, "question">): RunPlace {
  return { ...place, question: whatIsMissing(place) };
}

/** What a place still lacks, in words; null where a measurement can go there. */
export function whatIsMissing(place: Pick<RunPlace, "lot" | "material" | "stage">): string | null {
  const missing = [
    place.lot === null ? "the lot" : null,
    place.material === null ? "the material" : null,
    place.stage === null ? "the stage" : null,
  ].filter((one) => one !== null);
  return missing.length === 0 ? null : `Its names do not say ${listed(missing)}.`;
}

/** New lots as they are to be made, each once. */
export function newLots(
  places: readonly RunPlace[],
): readonly { readonly name: string; readonly material: string }[] {
  const made = new Map<string, { readonly name: string; readonly material: string }>();
  for (const { lot, lotId, material } of places)
    if (lotId === null && lot !== null && material !== null)
      made.set(newLotKey({ name: lot, material }), { name: lot, material });
  return [...made.values()];
}

export const newLotKey = ({ name, material }: { readonly name: string; readonly material: string }) =>
  `${codeKey(material)} ${codeKey(name)}`;
