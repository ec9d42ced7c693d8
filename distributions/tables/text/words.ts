import type { Quantity } from "#distributions/sizeDistribution.ts";
import { claimsOf, edgeOf, edgeOfWords, quantityOf } from "./claims.ts";
import { type Meaning, plainLetters, wordsIn } from "./lexicon.ts";
import type { EdgeOption, ValuesOption } from "./readingOptions.ts";
import { unitIn } from "./units.ts";

function says(text: string, ...meanings: readonly Meaning[]): boolean {
  return wordsIn(text).some((word) => meanings.some((m) => word.meanings.includes(m)));
}

/** What a line says; null where it says nothing. */
function firstMatch<T>(text: string, table: readonly (readonly [RegExp, T])[]): T | null {
  const words = plainLetters(text);
  return table.find(([pattern]) => pattern.test(words))?.[1] ?? null;
}

/** What a line of notes says of the edges, where "low", "to" and "max" speak of other things. */
export function edgeInNotes(text: string): EdgeOption | null {
  return firstMatch<EdgeOption>(text, [
    [/geometric\s*(mid|centre|center)/, "geometric-mid"],
    [/arithmetic\s*(mid|centre|center)/, "arithmetic-mid"],
    [/\bupper\s+(class\s+)?(edges?|limits?|bounds?|ends?|sizes?)\b/, "upper"],
    [/\blower\s+(class\s+)?(edges?|limits?|bounds?|ends?|sizes?)\b/, "lower"],
  ]);
}

/** x and d alone are sizes wherever sizes are written. */
function isSizeSign(text: string): boolean {
  return /^\s*[xd](?![\p{L}\p{N}])/iu.test(text);
}

export function saysMid(text: string): boolean {
  return says(text, "mid");
}

/** Whether a heading speaks of sizes. */
export function saysSize(text: string): boolean {
  const words = wordsIn(text);
  const isSize =
    isSizeSign(text) ||
    words.some(({ meanings }) => meanings.some((m) => m === "size" || m === "between" || m === "mid")) ||
    edgeOfWords(words) !== null ||
    /\b(class(es)?|bins?)\b/i.test(text);
  return isSize || (unitIn(text) !== null && !saysShares(text));
}

/** The same where "class" alone, which heads shares as well, does not count. */
export function namesSizes(text: string): boolean {
  return isSizeSign(text) || unitIn(text) !== null || says(text, "size", "mid") || edgeOf(text) !== null;
}

/** Whether a heading speaks of shares rather than sizes. */
export function saysShares(text: string): boolean {
  if (/[%％‰]|\b1\s*\/|\bper\b/i.test(text)) return true;
  const words = wordsIn(text);
  const of = (...meanings: readonly Meaning[]) =>
    words.some((word) => meanings.some((m) => word.meanings.includes(m)));
  if (
    of(
      "percent",
      "per-mille",
      "fraction",
      "share",
      "under",
      "over",
      "retained",
      "cumulative",
      "density",
      "count",
    )
  )
    return true;
  return (
    of("volume", "number", "surface", "length") ||
    /\b(?:(?:frequen|frecuen|haufigkeit)[a-z]*|q[0-3]\*?)\b/i.test(plainLetters(text))
  );
}

/** Whether a heading speaks of what lies in a class: "class" alone may head the sizes as well. */
export function saysClassValues(text: string): boolean {
  return classValues.test(plainLetters(text));
}
const classValues =
  /\b(?:in|per|pro|of|de) (?:the |each )?(?:class|bin|channel|klasse)|frequen|frecuen|haufigkeit|klassenanteil|differential|histogram|частот|выход|频率|頻度|빈도|区间含量/u;

/** The kind of values that a heading names, whether by a word of its own or one that may be part of a name. */
export function valuesIn(text: string): ValuesOption | null {
  return claimsOf(text).values[0]?.value ?? null;
}

const larger =
  /[>≥]|\b(?:larger|greater|coarser|bigger|more) than\b|\bat least\b|\b(?:and|or) (?:larger|above|coarser|more)\b|\bgrosser als\b|\bplus grand que\b|\bmayor que\b|以上|больше|이상/u;
const smaller =
  /[<≤]|\b(?:smaller|finer|less) than\b|\bat most\b|\b(?:and|or) (?:smaller|below|finer|less)\b|\bkleiner als\b|\bplus petit que\b|\bmenor que\b|以下|меньше|이하/u;

/** What a heading of one list of sizes says of its values: "larger than" a size is all that is coarser; null where it says neither, or both. */
export function valuesBySide(sizeHeading: string): ValuesOption | null {
  const letters = plainLetters(sizeHeading).replace(/[<>]?-+[<>]?/g, " ");
  const [over, under] = [larger.test(letters), smaller.test(letters)];
  return over === under ? null : over ? "oversize" : "undersize";
}

/** The same in a line of notes: only words that can mean nothing else. */
export function valuesInNotes(text: string): ValuesOption | null {
  return firstMatch<ValuesOption>(text, [
    [/\b(oversize|residue)\b|\bcumulative (over|retained)\b/, "oversize"],
    [
      /\b(undersize|passing)\b|\bcumulative (under|shares?|distribution|curve|values?|percent|%)/,
      "undersize",
    ],
    [/\b(in|of) (each|the|every) (size )?class\b|\bclass shares?\b/, "class"],
  ]);
}

const basis = "volume|vol|mass|weight|wt|number|count|surface|area|length";
const basisFirst = new RegExp(
  `\\b(${basis})[ .-]*(weighted|based|basis|distribution|shares?|fractions?|undersize|oversize|passing|in class|%|per ?cent|pct)`,
);
const basisAfter = new RegExp(
  `\\b(shares?|distribution|weighted|weighting|basis|quantity|type|values?|percent|results?)\\b[^.;]{0,40}?\\b(by|of|is|in|on)?[ :=,\\t]+(${basis})\\b`,
);

/** "by volume", "by number, % in class": nothing before it, and no figure of something else. */
const basisAlone = new RegExp(`^by (${basis})(?= ?$| ?[,;:(%]| in class)[^0-9]{0,40}$`);

/** The quantity a line of notes states for the shares; a line about a concentration states none. */
export function quantityInNotes(text: string): Quantity | null {
  const letters = plainLetters(text);
  const said =
    basisFirst.exec(letters)?.[1] ?? basisAfter.exec(letters)?.[3] ?? basisAlone.exec(letters)?.[1];
  const words = wordsIn(text);
  if (said !== undefined)
    return (
      wordsIn(said)
        .map(quantityOf)
        .find((q) => q !== null) ?? null
    );
  // "Verteilung: Volumen", "体積基準": a word for the distribution and one for the quantity, and no figure.
  const isPlain = !/\d/.test(letters.replace(/q[0-3]/g, "")) && words.length <= 8;
  if (!isPlain || !words.some((w) => w.meanings.includes("basis"))) return null;
  return words.map(quantityOf).find((q) => q !== null) ?? null;
}

/** A line of notes speaks of the table only if it also speaks of shares; an obscuration in % does not. */
export function speaksOfShares(text: string): boolean {
  return (
    /\b(shares?|distribution|weighted|weighting|basis|fractions?|undersize|oversize|result type|(volume|vol|mass|number|weight) (%|in class))/.test(
      plainLetters(text),
    ) ||
    basisAlone.test(plainLetters(text)) ||
    says(text, "basis")
  );
}

/** Whether the whole cell says nothing but that it is a mean. */
export function isMeanName(name: string): boolean {
  return isAll(name, "mean");
}

/** Whether the whole cell says nothing but that it is a spread. */
export function isSpreadName(name: string): boolean {
  return (
    /^(?:(?:\+\/-|±)(?:\s*\(?k\s*=\s*\d\)?)?|[su]|sd|σ|u\s*\(k\s*=\s*\d\))$/i.test(name.trim()) ||
    isAll(name, "spread")
  );
}

/** A word of this meaning, beside others that only say of what. */
function isAll(name: string, meaning: Meaning): boolean {
  const all = wordsIn(name);
  if (!all.some((w) => w.meanings.includes(meaning))) return false;
  const words = all.filter((w) => /[\p{L}\p{N}]/u.test(w.text));
  const about: readonly Meaning[] = [
    meaning,
    "link",
    "total",
    "volume",
    "number",
    "surface",
    "length",
    "class",
    "share",
    "percent",
  ];
  return (
    words.some((w) => w.meanings.includes(meaning)) &&
    words.every(
      (w) => w.meanings.some((m) => about.includes(m)) || /^(runs?|value|deviation|dev|std)$/.test(w.text),
    )
  );
}

/** Whether a cell is a word that sums up, and nothing else: no class of its own. */
export function isSummaryWord(text: string): boolean {
  if (
    /^(median|mode|span|loss|losses|verlust|siebverlust|perte|pertes|p[eé]rdidas?|perdita|perdas?|потери|損失|损失|손실|end|check( ?sum)?|kontrolle|d\d\d?|std dev|page( \d+)?( (of|\/) ?\d+)?|minimum|maximum)[:.]?$/i.test(
      text.trim(),
    )
  )
    return true;
  return !/\d/.test(text) && (isAll(text, "total") || isMeanName(text) || isSpreadName(text));
}

/** Whether a heading names a mass, in any unit of it. */
export function saysGrams(text: string): boolean {
  return says(text, "gram");
}

const pans =
  /^[(<]?\s*(pan|bottom|base|tray|receiver|bottom pan|dust pan|catch|catch pan|boden|siebboden|schale|auffang\p{L}*|fond|fondo|ciego|fundo|cieco|поддон|дно|受皿|受け皿|底盘|底盤|받침|팬|rest|fines)[:.]?\)?(\s*\([^()]{0,24}\))?$/iu;

export function isPan(text: string): boolean {
  return pans.test(text.trim());
}

/** The per cent of D10, x50, "D(0.9)" written d90; null for other words. */
export function percentileIn(text: string): number | null {
  const found =
    /^(?:[a-z]+[ _])?[dx][ _]?\(?(\d{1,2}(?:[.,]\d{1,2})?)(?:,3)?\)?(?:[ _,/([]*(?:um|µm|μm|nm|mm)[)\]]?)?$/i.exec(
      text.trim(),
    );
  const percent = found?.[1] === undefined ? Number.NaN : Number(found[1].replace(",", "."));
  return percent > 0 ? percent : null;
}
