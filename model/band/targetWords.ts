import { plainLetters } from "#distributions/tables/text/lexicon.ts";
import type { BandRow } from "./band.ts";
import { percentileOf } from "./limits.ts";

/** What is limited, and the rest of its line. */
interface Limited {
  readonly of: Pick<BandRow, "limit" | "sizeUm"> | "BET";
  readonly rest: string;
}

/** Limits as they are written; a bare number is a middle without a tolerance. */
export interface TargetRange {
  readonly low: number | null;
  readonly high: number | null;
  readonly middle: number | null;
}

const number = "(\\d+(?:[.,]\\d+)?|[.,]\\d+)";
const length = "\\s*(µm|μm|um|microns?|nm|mm)?";
export const lengthFactor = (unit = "") => ({ nm: 1e-3, mm: 1e3 })[unit.toLowerCase()] ?? 1;
const decimal = (text = "") => Number(text.replace(",", "."));

/** What people write for a limit; common practice, no source. */
const shares = [
  [
    "belowShare",
    new RegExp(
      `^(?:share |volume )?(?:below|under|finer than|smaller than|passing|unter|kleiner|<)\\s*${number}${length}`,
      "i",
    ),
  ],
  [
    "aboveShare",
    new RegExp(
      `^(?:share |volume )?(?:above|over|coarser than|larger than|residue at|über|größer|>)\\s*${number}${length}`,
      "i",
    ),
  ],
] as const;
// "D3, 2" is a mean diameter; behind "D50" a comma parts the name from its numbers.
const percentile =
  /^[dx]\s*[[(_]?\s*(?:v\s*[,;.]?\s*)?(0[.,]\d+|\d\d(?:\.\d+)?|\d(?!\d|\s*[\])]?\s*[,;.]\s*\d))\s*[\])]?/i;
const named: readonly (readonly [BandRow["limit"] | "BET", RegExp])[] = [
  ["sauterUm", /^(?:d\s*[[(]?\s*3\s*[,;.]\s*2\s*[\])]?|sauter[^\d≤≥<>±]*)/i],
  ["deBrouckereUm", /^(?:d\s*[[(]?\s*4\s*[,;.]\s*3\s*[\])]?|de ?brouckere[^\d≤≥<>±]*)/i],
  ["span", /^span/i],
  [
    "BET",
    /^(?:bet|ssa|specific surface|spezifische oberfläche|surface sp[ée]cifique|superficie espec[ií]fica|удельная поверхность|比表面[積积]|비표면적)(?: area)?/i,
  ],
];

/** What a line begins with as a limit; null where it begins with none that is known. */
export function limitedIn(line: string): Limited | null {
  for (const [limit, pattern] of shares) {
    const found = pattern.exec(line);
    if (found !== null)
      return {
        of: { limit, sizeUm: decimal(found[1]) * lengthFactor(found[2]) },
        rest: line.slice(found[0].length),
      };
  }
  for (const [limit, pattern] of named) {
    const found = pattern.exec(line);
    if (found !== null) return { of: limit === "BET" ? limit : { limit }, rest: restOf(line, found[0]) };
  }
  const found = percentile.exec(line);
  if (found === null) return null;
  const written = decimal(found[1]);
  const percent = /^0[.,]/.test(found[1] ?? "") ? Number((100 * written).toPrecision(6)) : written;
  const limit = `d${percent}Um`;
  return percentileOf(limit) === null ? null : { of: { limit }, rest: restOf(line, found[0]) };
}

/** What follows a name, without the sign that parts them: no point of a number. */
function restOf(line: string, name: string): string {
  return line.slice(name.length).replace(/^\s*[,;:=]\s*/, " ");
}

/** How many names of limits a line holds. */
export function limitsIn(line: string): number {
  return (
    line.match(
      /(?<![\p{L}\p{N}])(?:[dx]\s*[[(_]?\s*(?:v\s*[,;.]?\s*)?(?:0[.,]\d|\d\d)|span|bet|ssa)(?![\p{L}])/giu,
    )?.length ?? 0
  );
}

// Words of ten languages; common practice, no source.
const least =
  "≥|>=|>|min\\.?|minimum|minimo|at least|from|ab|mindestens|au moins|al menos|almeno|pelo menos|не менее|от|最小|最低|下限|최소|하한";
const most =
  "≤|<=|<|max\\.?|maximum|maximo|massimo|at most|up to|hochstens|bis|to|au plus|como maximo|al massimo|no maximo|не более|до|最大|最高|上限|최대|상한";
const joint = "-|~|〜|～|\\.\\.\\.?|…|(?:and|to|bis|und|a|et|y|e|и|ate)\\s";
const about = new RegExp(`${number}\\D*?(?:±|\\+/?-)\\s*${number}\\s*(%)?`);
const uneven = new RegExp(`${number}[^\\d+]*\\+\\s*${number}[^\\d-]*-\\s*${number}`);
const atLeast = new RegExp(`(?<!\\p{L})(?:${least})\\s*:?=?\\s*${number}`, "u");
const atMost = new RegExp(`(?<!\\p{L})(?:${most})\\s*:?=?\\s*${number}`, "u");
const leastBehind = new RegExp(`${number}\\s*(?:[uµμ]m|nm|mm|%)?\\s*(?:以上|이상)`);
const mostBehind = new RegExp(`${number}\\s*(?:[uµμ]m|nm|mm|%)?\\s*(?:以下|이하)`);
const upTo = new RegExp(`${number}[^\\d]{0,5}?\\s*(?:to|bis|до)\\s`);
const between = new RegExp(`${number}[^\\d]{0,5}?\\s*(?:${joint})\\s*${number}`, "u");
const everyNumber = new RegExp(`(?<![\\p{L}\\d])${number}`, "gu");

/** Limits of a text such as "3.1 ± 0.2", "2.9–3.3", "at most 6"; "several" where nothing says what its numbers are. */
export function rangeIn(text: string): TargetRange | "several" | null {
  const plain = plainLetters(text).replace(/[−–—]/g, "-");
  const unlike = uneven.exec(plain);
  if (unlike !== null) {
    const middle = decimal(unlike[1]);
    return { low: middle - decimal(unlike[3]), high: middle + decimal(unlike[2]), middle };
  }
  const given = about.exec(plain);
  if (given !== null) {
    const [middle, reach] = [decimal(given[1]), decimal(given[2])];
    const half = given[3] === "%" && !/%.*%/.test(plain) ? (middle * reach) / 100 : reach;
    return { low: middle - half, high: middle + half, middle };
  }
  const low = atLeast.exec(plain) ?? leastBehind.exec(plain);
  const high = atMost.exec(plain) ?? mostBehind.exec(plain);
  if (low !== null || high !== null) {
    const first = low ?? upTo.exec(plain);
    return {
      low: first === null ? null : decimal(first[1]),
      high: high === null ? null : decimal(high[1]),
      middle: null,
    };
  }
  const ends = between.exec(plain);
  if (ends !== null) return { low: decimal(ends[1]), high: decimal(ends[2]), middle: null };
  const [only, ...more] = plain.match(everyNumber) ?? [];
  if (more.length > 0) return "several";
  return only === undefined ? null : { low: null, high: null, middle: decimal(only) };
}
