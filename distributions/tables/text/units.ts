import type { UnitOption } from "./readingOptions.ts";

const between = "[^\\p{L}\\p{N}]";
/** A unit with a number joined to it names a sample, as "nm-7" does; "nm-1" is one over a unit. */
const noName = "(?![-_](?!1(?:$|\\D))\\d)";
const alone = (words: string) => new RegExp(`(?:^|${between}|\\d)(?:${words})${noName}(?:$|${between})`, "u");

/** How units of length are written, in small letters. From common use in each language, no source. */
const spellings: readonly (readonly [RegExp, UnitOption])[] = [
  [
    alone(
      "um|µm|μm|mcm|mkm|мкм|µ|μ|micron[se]?|microns?|micrones|micra|micras|mikron|микрон\\p{L}*|(?:micro|mikro)met(?:er|re|ro|ri|ros)s?|micrometres?|micrometers?",
    ),
    "um",
  ],
  [/微米|마이크로미터|마이크론|マイクロメートル|ミクロン|マイクロ/u, "um"],
  [alone("nm|нм|nano ?met(?:er|re|ro|ri|ros)s?"), "nm"],
  [/纳米|나노미터|ナノメートル|ナノ/u, "nm"],
  [alone("mm|мм|mill?imet(?:er|re|ro|ri|ros)s?"), "mm"],
  [/毫米|밀리미터|ミリメートル|ミリ/u, "mm"],
  [alone("phi"), "phi"],
  [/[φϕ]/u, "phi"],
  [
    /[([]\s*m\s*[)\]]|\bmet(er|re)s?\b|\b(size|sizes|diameters?|aperture|edges?|limits?|bounds?|d|x)(?:[ ,/]+| in )m(?=$| )/,
    "m",
  ],
];

/** Lengths that are written where a unit stands and are not read, and what is no diameter at all. */
const foreign = alone(
  "cm|dm|km|pm|fm|hm|inch|inches|in\\.|mils?|thou|thous|å|kå|angstroms?|angstroem|pt|points?|zoll|pouces?|pulgadas?|pollic[ei]|дюйм\\p{L}*|дюим\\p{L}*|см|ft|feet|a\\.u\\.|arb\\. ?units?|px|pixels?|radius|radii|rayon|radio|raggio|raio|радиус|halbmesser|log|ln|lg|log10|log2|zeta",
);
const power = /10\s*(?:\^|\*\*)?\s*[-−–]\s*\d|10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+|\be-\d/u;
const otherScript = /厘米|英寸|埃|半径|インチ|반지름|반경|센티/u;

const isPlain = /^[ -~]*$/;

/** Small letters; the two micro signs and the sign of the unit that was named after a person stay what they are. */
function unitLetters(text: string): string {
  const small = text.slice(0, 200).toLowerCase().replace(/[_\t]/g, " ");
  if (isPlain.test(small)) return small;
  return small
    .normalize("NFC")
    .replaceAll("å", "\u0001")
    .normalize("NFD")
    .replace(/[\u0300-\u036f]/g, "")
    .normalize("NFC")
    .replaceAll("\u0001", "å");
}

/** The unit of length that a text names; null where it names none that is known, or also one that is not. */
export function unitIn(text: string): UnitOption | null {
  const letters = unitLetters(text);
  const unit = spellings.find(([pattern]) => pattern.test(letters))?.[1] ?? null;
  return unit === null || foreignIn(letters) !== null ? null : unit;
}

/** A unit that is named and not known, as it is written; null where there is none. */
export function foreignUnitIn(text: string): string | null {
  return foreignIn(unitLetters(text));
}

function foreignIn(letters: string): string | null {
  const found = power.exec(letters)?.[0] ?? foreign.exec(letters)?.[0] ?? otherScript.exec(letters)?.[0];
  return found === undefined ? null : found.replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}.]+$/gu, "");
}

/** Whether a word is a unit of length, a mass, a share or a sign that joins them: nothing that names a sample. */
export function isUnitWord(word: string): boolean {
  const letters = unitLetters(word);
  return (
    spellings.some(([pattern]) => pattern.test(letters)) || foreign.test(letters) || otherScript.test(letters)
  );
}

/** Quantities that run along tables as sizes do and are none, in words that mean nothing else. */
const otherQuantity =
  /(?:^|[^\p{L}])(time|times|duration|temperature|pressure|wavelength|wavenumber|frequency \(|energy|angle|2 ?theta|2 ?θ|voltage|current|raman shift|speed|revolutions|rpm|nominal|zeit|dauer|temperatur|druck|wellenlange|wellenzahl|drehzahl|spannung|winkel|temps|duree|pression|longueur d'onde|vitesse|tiempo|temperatura|presion|longitud de onda|velocidad|tempo|pressione|lunghezza d'onda|velocita|pressao|comprimento de onda|velocidade|время|температура|давление|длина волны|скорость)(?=$|[^\p{L}])|時間|温度|压力|圧力|波长|波長|时间|시간|온도|압력|파장/u;

/** The word by which a heading speaks of a time, a temperature, a wavelength or the like and not of a size; null where it does not. */
export function otherQuantityIn(heading: string): string | null {
  const found = otherQuantity.exec(unitLetters(heading));
  return found === null ? null : (found[1] ?? found[0]);
}

/** What stands where a unit does, in brackets, behind a stroke or behind "in", and is none that is known; null where nothing does. */
export function oddUnitPlace(heading: string): string | null {
  const letters = unitLetters(heading).trim();
  const found =
    /[([]\s*([^()[\]\d]{1,12})\s*[)\]]\s*$/u.exec(letters)?.[1] ??
    /(?:\s\/\s*|,\s|\bin\s)(\p{L}{1,8})$/u.exec(letters)?.[1];
  const word = found?.trim() ?? "";
  if (word === "" || spellings.some(([pattern]) => pattern.test(word))) return null;
  return word;
}
