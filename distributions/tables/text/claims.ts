import type { Quantity } from "#distributions/sizeDistribution.ts";
import { type Meaning, plainLetters, type Word, wordsIn } from "./lexicon.ts";
import type { EdgeOption, ScaleOption, ValuesOption } from "./readingOptions.ts";
import { foreignUnitIn, isUnitWord } from "./units.ts";

/** What a word of a heading says, and whether it can be part of a name instead. */
export interface Claim<T> {
  readonly value: T;
  readonly isStrong: boolean;
  /** Whether nothing stands before it but words that are known, so that a name can begin with it. */
  readonly opensName: boolean;
  /** Whether it is the first word and a number follows, as in "number 3": a name. */
  readonly isNumbered: boolean;
  readonly word: string;
}

export interface Claims {
  readonly quantity: readonly Claim<Quantity>[];
  readonly values: readonly Claim<ValuesOption>[];
  readonly scale: readonly Claim<ScaleOption>[];
}

const isSign = (word: Word) => !/[\p{L}\p{N}%％‰σ]/u.test(word.text);
const isKnown = (word: Word) => word.meanings.length > 0 || isUnitWord(word.text) || isSign(word);
const says = (word: Word, ...meanings: readonly Meaning[]) => meanings.some((m) => word.meanings.includes(m));

/**
 * What a heading says of its values. Words at its end speak of the values; so do several at its beginning; one alone
 * before other words may be a name, as in "number 3" or "volume trial", and is a weak claim.
 */
export function claimsOf(heading: string): Claims {
  const words = wordsIn(heading);
  if (words.every(({ meanings }) => meanings.length === 0) && !maySpeak.test(plainLetters(heading)))
    return silent;
  const strong = strongWords(words);
  const has = (i: number) => strong.has(i);
  const unknown = words.findIndex((word) => !isKnown(word));
  const known = unknown < 0 ? words.length : unknown;
  const at = <T>(value: T, i: number): Claim<T> => ({
    value,
    isStrong: has(i),
    opensName: i <= known,
    isNumbered: i === 0 && /^\d/.test(words[1]?.text ?? ""),
    word: words[i]?.text ?? "",
  });
  const quantity = words.flatMap((word, i) => {
    const found = quantityOf(word);
    return found === null ? [] : [at(found, i)];
  });
  return { quantity, values: valuesClaims(heading, words, at), scale: scaleClaims(heading, words, at) };
}

const silent: Claims = { quantity: [], values: [], scale: [] };
/** Letters of what speaks without a word that is known: a per cent sign, and the phrases and signs of a density or Q(x). */
const maySpeak = /%|\/|l[ng]|log|p(?:er|ro|ar) |q[0-3]\s*\(/;

/** Which words cannot be part of a name. */
function strongWords(words: readonly Word[]): ReadonlySet<number> {
  const strong = new Set<number>();
  let from = words.length;
  // "1" of "1/um" is part of a unit.
  const isOne = (i: number) => words[i]?.text === "1" && words[i + 1]?.text === "/";
  for (let i = words.length - 1; i >= 0 && (isKnown(words[i] ?? noWord) || isOne(i)); i--) from = i;
  for (let i = from; i < words.length; i++) strong.add(i);
  let to = 0;
  while (to < words.length && isKnown(words[to] ?? noWord)) to++;
  const first = words.slice(0, to);
  // The last of them, before words that are not known, may begin a name: "in class % number cruncher".
  const last = first.findLastIndex((w) => w.meanings.some((m) => m !== "link"));
  const isScale = says(words[last] ?? noWord, "percent", "per-mille", "ppm", "gram");
  const mayBeName = to < words.length && !isScale ? last : to;
  const spoken = first.filter((w) => w.meanings.length > 0 && !w.meanings.every((m) => m === "link"));
  // "length of day", "surface treated" are names; "volume % run 1", "mass passing test 3" are not.
  if (
    first.some((w) => says(w, "percent", "gram", "per-mille", "ppm")) ||
    new Set(spoken.map((w) => w.meanings[0])).size > 1
  )
    for (let i = 0; i < to; i++) if (i < mayBeName || from <= i) strong.add(i);
  return strong;
}
const noWord: Word = { text: "", at: 0, meanings: [] };

export function quantityOf(word: Word): Quantity | null {
  for (const quantity of ["volume", "number", "surface", "length"] as const)
    if (word.meanings.includes(quantity)) return quantity;
  if (word.meanings.includes("gram")) return "volume";
  return word.meanings.includes("count") ? "number" : null;
}

type At = <T>(value: T, i: number) => Claim<T>;

const densityPhrases: readonly (readonly [RegExp, ValuesOption])[] = [
  [/\b(per|\/) ?ln\b|\bd ?ln\b|dln ?[dx]p?\b|pro ln\b|\bq[0-3]\*? ?\(? ?ln\b/, "density-ln"],
  [
    /\bper decade\b|\bpro dekade\b|\bpar decade\b|\b(per|\/) ?(log|lg)\b|\bd ?(log|lg)\b|dlo?g ?[dx]p?\b|\bq[0-3]\*? ?\(? ?(log|lg)\b/,
    "density-decade",
  ],
  [/\b1\s*\/\s*(um|µm|μm|nm|mm)|\bper (um|µm|μm|micron|nm|mm)\b|%\s*\/\s*(um|µm|μm|nm|mm)/, "density"],
];

function valuesClaims(heading: string, words: readonly Word[], at: At): Claim<ValuesOption>[] {
  const letters = plainLetters(heading);
  const claims: Claim<ValuesOption>[] = [];
  const phrases = densityPhrases.flatMap(([pattern, value]) => {
    const found = pattern.exec(letters);
    return found === null ? [] : [{ value, index: found.index }];
  });
  // Where two stand, the first is part of a name.
  const phrase = phrases.toSorted((a, b) => a.index - b.index).at(-1);
  if (phrase !== undefined) {
    const i = words.findLastIndex((word) => word.at <= phrase.index);
    claims.push(at<ValuesOption>(phrase.value, Math.max(0, i)));
  }
  const isPhrase = claims.length > 0;
  const cumulative = words.findIndex((w) => says(w, "cumulative"));
  const retained = words.findIndex((w) => says(w, "retained"));
  for (const [i, word] of words.entries()) {
    if (!isPhrase && says(word, "density") && !/\d/.test(words[i + 1]?.text ?? ""))
      claims.push(at<ValuesOption>("density", i));
    else if (says(word, "over")) claims.push(at<ValuesOption>("oversize", i));
    else if (says(word, "under")) claims.push(at<ValuesOption>("undersize", i));
    else if (says(word, "class") && cumulative < 0) claims.push(at<ValuesOption>("class", i));
  }
  const isSided = claims.some((c) => c.value === "oversize" || c.value === "undersize");
  if (cumulative >= 0 && !isSided)
    claims.push(at<ValuesOption>(retained >= 0 ? "oversize" : "undersize", Math.max(cumulative, retained)));
  if (!isSided && /(^|[^a-z])q[0-3]\s*\(/.test(letters))
    claims.push({ value: "undersize", isStrong: true, opensName: false, isNumbered: false, word: "Q(x)" });
  return claims;
}

function scaleClaims(heading: string, words: readonly Word[], at: At): Claim<ScaleOption>[] {
  // "98 %" is so much of something, and no scale.
  const isOfNumber = (i: number) => /^\d/.test(words[i - 1]?.text ?? "");
  const percent = words.findLastIndex((w, i) => says(w, "percent") && !isOfNumber(i));
  const others = words.flatMap((word, i): Claim<ScaleOption>[] => {
    if (says(word, "per-mille") && !isOfNumber(i)) return [at<ScaleOption>("per-mille", i)];
    if (says(word, "ppm")) return [at<ScaleOption>("ppm", i)];
    if (says(word, "fraction")) return [at<ScaleOption>("fraction", i)];
    const isCount = says(word, "count") || (says(word, "number") && words[i + 1]?.text === "of");
    if (isCount || says(word, "gram")) return [at<ScaleOption>("amount", i)];
    return [];
  });
  const isSigned = heading.includes("%") && !words.some((w) => says(w, "percent"));
  if (percent < 0 && !isSigned) return others;
  // A per cent sign is seldom part of a name, unless the heading ends with another word for the scale.
  const sign = at<ScaleOption>("percent", Math.max(0, percent));
  return others.some((c) => c.isStrong) && !sign.isStrong ? others : [{ ...sign, isStrong: true }];
}

/**
 * Which edge the heading of the sizes names. Words such as "to" or "high" name one only beside edge, limit, class, the
 * word for size, or alone: "size from mill 2" names none.
 */
export function edgeOf(heading: string): EdgeOption | null {
  const isForeign = foreignUnitIn(heading) !== null;
  const bare = isForeign ? heading.replace(/[([][^()[\]]*[)\]]/g, " ").replace(angstrom, "$1") : heading;
  return edgeOfWords(wordsIn(bare));
}
/** Without its ring it would be a French word for an edge. */
const angstrom = /(^|[\s([/,])k?[\u00c5\u212b](?=$|[\s)\]])/giu;

/** The same of words that are taken apart already. */
export function edgeOfWords(all: readonly Word[]): EdgeOption | null {
  const words = all.filter((w) => !isSign(w));
  const has = (meaning: Meaning) => words.some((w) => says(w, meaning));
  if (has("mid") || has("mean"))
    return has("geometric") ? "geometric-mid" : has("arithmetic") ? "arithmetic-mid" : null;
  const bare = words.filter((w) => !isUnitWord(w.text) && !/^\d+$/.test(w.text) && w.text !== "m");
  const isPlain = bare.every((w) => says(w, "upper", "lower", "between", "size", "class", "link"));
  const found = bare.flatMap((w, i): EdgeOption[] => {
    const isBeside = [bare[i - 1], bare[i + 1]].some(
      (n) => n !== undefined && says(n, "between", "size", "class"),
    );
    if (!isPlain && !isBeside) return [];
    return says(w, "upper") ? ["upper"] : says(w, "lower") ? ["lower"] : [];
  });
  const lone = bare.filter((w) => !/^(in|en|em)$/.test(w.text));
  const isBare = !words.some((w) => /^\d/.test(w.text));
  if (found.length === 0 && lone.length === 1 && isBare)
    return lone[0]?.text === "a" ? "upper" : /^(de|da|di)$/.test(lone[0]?.text ?? "") ? "lower" : null;
  return new Set(found).size === 1 ? (found[0] ?? null) : null;
}
