import type { Stage } from "#model/lot/stages.ts";
import { type StageWords, unaccented } from "./stageWords.ts";

/** What a name says of a measurement; null where it does not say. */
export interface NameParts {
  /** A name by which a material of the lab is known: its own, or what its lots' names begin with. */
  readonly material: string | null;
  /** What tells the lot from others, as "A7" of "LotA7"; no more than a part of the lot's name. */
  readonly lotCode: string | null;
  readonly stage: Stage | null;
  readonly portion: string | null;
  readonly run: string | null;
}

/** What names are read with: the words for stages, and what the lab calls its materials and their lots. */
export interface NameWords {
  readonly stageWords: StageWords;
  readonly materials: MaterialWords;
}

/** Names by which a material is known, the longest first, each as a pattern. */
export type MaterialWords = readonly { readonly name: string; readonly pattern: RegExp }[];

/** @param names  of materials, and what their lots' names begin with */
export function materialWords(names: readonly string[]): MaterialWords {
  const named = [...new Set(names)].filter((name) => name.trim() !== "");
  return named
    .toSorted((a, b) => b.length - a.length)
    .map((name) => {
      const words = unaccented(name.trim())
        .split(/[\s_,–-]+/)
        .map((word) => word.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&"));
      return { name, pattern: new RegExp(`(?<!\\p{L})${words.join("[\\s_,–-]*")}(?!\\p{L})`, "iu") };
    });
}

const ends = "(?![\\p{L}\\d])";
const joined = "[\\s_.:#-]*";
const after = (words: string, value: string) =>
  new RegExp(`(?<!\\p{L})(?:${words})${joined}(${value})${ends}`, "iu");

const dates = [
  /(?<!\d)(?:19|20)\d\d[-_./](?:0?[1-9]|1[0-2])[-_./](?:0?[1-9]|[12]\d|3[01])(?!\d)/u,
  /(?<!\d)(?:0?[1-9]|[12]\d|3[01])[-_./](?:0?[1-9]|1[0-2])[-_./](?:(?:19|20)\d\d|\d\d)(?!\d)/u,
  /(?<!\d)20\d\d(?:0[1-9]|1[0-2])(?:0[1-9]|[12]\d|3[01])(?!\d)/u,
  /(?<![\d.])(?:[01]?\d|2[0-3])[h:]\d\d(?::\d\d)?(?!\d)/u,
];

const number = "\\d{1,3}";
const runPatterns = [
  after(
    "run|rep|repeat|wdh|wiederholung|lauf|messung|mess|mesure|medida|medición|misura|corrida|meting|pomiar|mereni|record|回",
    number,
  ),
  after("r", number),
  /#\s*(\d{1,3})(?!\d)/u,
];
const portionPatterns = [
  after(
    "portion|port|probe|teilprobe|teilmenge|sample|subsample|split|aliquot|prélèvement|prelevement|echantillon|prise|muestra|porcion|campione|porzione|amostra|monster|probka|vzorek|試料|样品",
    `${number}|[a-z]`,
  ),
  after("p", number),
  /\(\s*([a-z]|\d{1,2})\s*\)/iu,
];
const lotWords =
  "lot|lotnr|lots|charge|chargen|ch|batch|los|lote|lotto|partie|partia|partij|sarze|seria|ロット|批号|批次|批";
const lotPatterns = [
  after(`(?:${lotWords})(?:\\s*(?:no|nr|num|n°|n))?`, "[\\p{L}]{0,5}-?\\d+[\\p{L}\\d]*(?:-\\d{2,})?"),
  after(lotWords, "[a-z]"),
];

/** What a part that was taken out leaves: no word, and a bound for what stands beside it. */
const gone = " | ";

interface Taken {
  readonly value: string | null;
  readonly rest: string;
}

/** The first of some patterns that is found, and the text without it. */
function taken(text: string, patterns: readonly RegExp[]): Taken {
  for (const pattern of patterns) {
    const found = pattern.exec(text);
    if (found === null) continue;
    const rest = `${text.slice(0, found.index)}${gone}${text.slice(found.index + found[0].length)}`;
    return { value: found[1] ?? found[0], rest };
  }
  return { value: null, rest: text };
}

/** A file's name without its folder and its ending. */
export function stemOf(file: string): string {
  return file.replace(/^.*[\\/]/, "").replace(/\.(?:csv|tsv|txt|xlsx?|json|dat|asc)$/i, "");
}

/** What a file's or a measurement's name says. What it does not say stays null: nothing is guessed. */
export function partsOfName(name: string, words: NameWords): NameParts {
  const plain = dates.reduce((text, date) => taken(text, [date]).rest, unaccented(stemOf(name)));
  const material = materialIn(plain, words.materials);
  // What a material is called may hold a word for a stage or a number that is no lot's.
  const staged = stageIn(material.rest, words.stageWords);
  const lot = taken(staged.rest, lotPatterns);
  const run = taken(lot.rest, runPatterns);
  const portion = taken(run.rest, portionPatterns);
  return {
    material: material.value,
    lotCode: lot.value ?? codeIn(portion.rest),
    stage: staged.stage,
    portion: portion.value?.toLowerCase() ?? null,
    run: run.value,
  };
}

function stageIn(text: string, words: StageWords): { readonly stage: Stage | null; readonly rest: string } {
  const found = words.flatMap(({ pattern, stage }) => {
    const at = pattern.exec(text);
    return at === null ? [] : [{ stage, from: at.index, to: at.index + at[0].length }];
  });
  // Words that lie within a longer one were not meant: "firing" of "2nd firing".
  const whole = found.filter(
    (a) => !found.some((b) => b !== a && b.from <= a.from && a.to <= b.to && b.to - b.from > a.to - a.from),
  );
  const rest = whole
    .toSorted((a, b) => b.from - a.from)
    .reduce((left, { from, to }) => `${left.slice(0, from)}${gone}${left.slice(to)}`, text);
  const said = new Set(whole.map(({ stage }) => stage));
  const [stage = null] = said;
  // A name that speaks of two stages says neither.
  return { stage: said.size === 1 ? stage : null, rest };
}

/** The longest name of a material that the text holds, with any signs between its words. */
function materialIn(text: string, materials: MaterialWords): Taken {
  for (const { name, pattern } of materials) {
    const found = taken(text, [pattern]);
    if (found.value !== null) return { value: name, rest: found.rest };
  }
  return { value: null, rest: text };
}

/** Where no word says "lot": the first word of letters and digits, such as A7, else the first number of two digits or more. */
function codeIn(text: string): string | null {
  const whole = text.split(/[\s_.,;()[\]|+]+/);
  const words = [...whole, ...whole.flatMap((word) => word.split("-"))].filter((word) => /\d/.test(word));
  const isCode = (word: string) => /^\p{L}{1,5}-?\d{1,8}\p{L}{0,2}(?:-\d{1,6})?$/u.test(word);
  const isNumber = (word: string) => /^\d{2,8}(?:-\d{1,6})?$/.test(word);
  return words.find(isCode) ?? words.find(isNumber) ?? null;
}
