import { DomainError } from "#distributions/domainError.ts";
import { isSameMaterial } from "#model/lot/material.ts";
import { type Stage, stages } from "#model/lot/stages.ts";
import { type NameParts, type NameWords, partsOfName, stemOf } from "./nameParts.ts";
import { unaccented } from "./stageWords.ts";

/** The parts a pattern may name. */
export const patternParts = ["material", "lot", "stage", "portion", "run", "date"] as const;
type PatternPart = (typeof patternParts)[number];

/**
 * How a lab's files are called, learned from a correction or typed: "{lot}_{stage}_{run}", with "*" for what says
 * nothing, and what short words mean: M = milled. It goes before what is guessed.
 */
export interface NamePattern {
  readonly text: string;
  /** A word with the stage or the material it means. */
  readonly words: Readonly<Record<string, string>>;
}

/** What each part looks like: a lot is told by its number, so letters before it may be the material. */
const formOf: Readonly<Record<PatternPart, string>> = {
  material: "\\p{L}[^\\d_]*",
  lot: "\\p{L}*\\d+(?:-\\d+)?|[\\p{L}\\d]+?",
  stage: "(?:\\d\\S{0,3}\\s*)?\\p{L}[^\\d_]*?",
  portion: "\\d{1,3}|\\p{L}",
  run: "\\d{1,3}",
  date: "[\\d.-]{6,10}",
};

const asText = (text: string) => text.replace(/[.+?^${}()|[\]\\/-]/g, "\\$&");

/**
 * A pattern as an expression over a whole name. Blanks, hyphens and underscores stand for each other.
 *
 * @throws DomainError  it names a part twice or one that is not known, or holds none
 */
export function patternExpression(text: string): RegExp {
  const seen = new Set<string>();
  const pieces = text.trim().split(/(\{[^{}]*\}|\*)/);
  const source = pieces.map((piece) => {
    if (piece === "*") return ".*?";
    const [, name] = /^\{(.*)\}$/.exec(piece) ?? [];
    if (name === undefined) return asText(unaccented(piece)).replace(/(?:\s|_|\\-)+/g, "[\\s_-]*");
    const part = patternParts.find((one) => one === name.trim());
    if (part === undefined || seen.has(part))
      throw new DomainError(
        "pattern of names",
        `may hold each of ${patternParts.map((one) => `{${one}}`).join(", ")} once, and *`,
        piece,
      );
    seen.add(part);
    return `(?<${part}>${formOf[part]})`;
  });
  if (seen.size === 0)
    throw new DomainError("pattern of names", "must hold a part such as {lot} or {stage}", text);
  return new RegExp(`^${source.join("")}$`, "iu");
}

/** What a name says by a pattern; null where the name is not of its form. */
export function partsByPattern(
  name: string,
  pattern: NamePattern,
  words: NameWords,
): Partial<NameParts> | null {
  const groups = patternExpression(pattern.text).exec(unaccented(stemOf(name)))?.groups;
  if (groups === undefined) return null;
  const learned = (text: string | undefined) =>
    Object.entries(pattern.words).find(([word]) => word.toLowerCase() === text?.toLowerCase())?.[1];
  const stageText = learned(groups["stage"]) ?? groups["stage"];
  const stage = stages.find((one) => one === stageText) ?? stageByWords(stageText, words);
  const materialText = groups["material"];
  // A material that a person gave a word for may be new; any other is one the lab has, or the name only looks alike.
  const material =
    learned(materialText) ??
    words.materials.find(({ name: one }) => materialText !== undefined && isSameMaterial(one, materialText))
      ?.name;
  if (materialText !== undefined && material === undefined) return null;
  return {
    ...(material === undefined ? {} : { material }),
    ...(groups["lot"] === undefined ? {} : { lotCode: groups["lot"] }),
    ...(stage === null ? {} : { stage }),
    ...(groups["portion"] === undefined ? {} : { portion: groups["portion"].toLowerCase() }),
    ...(groups["run"] === undefined ? {} : { run: groups["run"] }),
  };
}

function stageByWords(text: string | undefined, words: NameWords): Stage | null {
  return text === undefined ? null : partsOfName(text, words).stage;
}

/** A row as a person put it right. */
export interface CorrectedRow {
  readonly material: string | null;
  /** The code or the whole name of the lot. */
  readonly lot: string | null;
  readonly stage: Stage | null;
  readonly portion: string | null;
}

/**
 * The pattern that a corrected row shows: each word of the name that says one of its values becomes that part, what stays
 * is "*". A word that says nothing by itself, such as M, is learned as the stage or material it must mean.
 *
 * @param before  what was learned so far; its words stay
 * @returns       null where the name holds nothing of the row
 */
export function learnedPattern(
  name: string,
  row: CorrectedRow,
  words: NameWords,
  before: NamePattern | null = null,
): NamePattern | null {
  const pieces = piecesOf(unaccented(stemOf(name)));
  const parts = new Map<number, PatternPart>();
  const free = (test: (piece: string) => boolean) =>
    pieces.findIndex((piece, i) => !parts.has(i) && /[\p{L}\d]/u.test(piece) && test(piece));
  const give = (part: PatternPart, at: number) => {
    if (at >= 0) parts.set(at, part);
    return at >= 0;
  };
  const isSaid = (value: string) => (piece: string) => plain(piece) === plain(value);
  give(
    "date",
    free((piece) => /^\d{4}-\d\d-\d\d$|^20\d{6}$/.test(piece)),
  );
  if (row.lot !== null) give("lot", lotPiece(pieces, row.lot));
  const learned: [string, string][] = [];
  const giveMeant = (part: "stage" | "material", value: string, isWord: (piece: string) => boolean) => {
    if (give(part, free(isWord))) return;
    const at = shortWord(pieces, value, (i) => parts.has(i));
    if (!give(part, at)) return;
    const word = pieces[at];
    if (word !== undefined) learned.push([word, value]);
  };
  if (row.stage !== null)
    giveMeant("stage", row.stage, (piece) => partsOfName(piece, words).stage === row.stage);
  if (row.material !== null) giveMeant("material", row.material, isSaid(row.material));
  if (row.portion !== null) give("portion", free(isSaid(row.portion)));
  give(
    "run",
    pieces.findLastIndex((piece, i) => !parts.has(i) && /^\d{1,3}$/.test(piece)),
  );
  if (![...parts.values()].some((part) => part !== "run" && part !== "date")) return null;
  const text = pieces.map((piece, i) => textOfPiece(piece, parts.get(i))).join("");
  return {
    text: text.replace(/\*(?:[\s_-]*\*)+/g, "*"),
    words: { ...before?.words, ...Object.fromEntries(learned) },
  };
}

/** Words, numbers and the signs between them; a date stays one piece, and A7 is one where letters lead a number. */
function piecesOf(stem: string): string[] {
  return stem.match(/\d{4}-\d\d-\d\d|\p{L}+|\d+|[^\p{L}\d]+/gu) ?? [];
}

function textOfPiece(piece: string, part: PatternPart | undefined): string {
  if (part !== undefined) return `{${part}}`;
  return /^\d+$/.test(piece) || /^\p{L}{3,}$/u.test(piece) ? "*" : piece;
}

const plain = (text: string) =>
  unaccented(text)
    .toLowerCase()
    .replace(/^0+(?=\d)/, "");

/** The piece that tells the lot: all of what was given, or a number at its end. */
function lotPiece(pieces: readonly string[], lot: string): number {
  const whole = pieces.findIndex((piece) => plain(piece) === plain(lot));
  if (whole >= 0) return whole;
  const [tail = ""] = /\d+$/.exec(lot.trim()) ?? [];
  return tail === "" ? -1 : pieces.findIndex((piece) => plain(piece) === plain(tail));
}

/** A short word that may stand for a value: one that begins as it does, else the last one left. */
function shortWord(pieces: readonly string[], value: string, isTaken: (at: number) => boolean): number {
  const short = pieces.flatMap((piece, i) => (!isTaken(i) && /^\p{L}{1,4}$/u.test(piece) ? [i] : []));
  const alike = short.find((i) => plain(value).startsWith(plain(pieces[i] ?? "").slice(0, 1)));
  return alike ?? short.at(-1) ?? -1;
}
