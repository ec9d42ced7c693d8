import { curveOf, knownUndersizeAt, sizeAt } from "#distributions/curve.ts";
import { geometricSurface, meanDiameterUm } from "#distributions/moments.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import { span } from "#distributions/span.ts";
import type { Limits } from "#model/numbers/jointChance.ts";
import { figures } from "#model/words/wording.ts";
import type { Band, BandRow } from "./band.ts";

/** The limits with a name of their own; beside them any `d<percent>Um`. */
export const namedLimits = [
  "span",
  "sauterUm",
  "deBrouckereUm",
  "surfaceM2PerG",
  "belowShare",
  "aboveShare",
  "largestClassUm",
] as const;

/** The percentile that a limit named d50Um stands for, as a fraction; null for another name. */
export function percentileOf(limit: string): number | null {
  const found = /^d(\d+(?:\.\d+)?)Um$/.exec(limit);
  const percent = found === null ? Number.NaN : Number(found[1]);
  return percent > 0 && percent < 100 ? percent / 100 : null;
}

/** The words and unit of a limit, for sentences and screens; a share is shown as per cent. */
export function limitWords(row: { readonly limit: string; readonly sizeUm?: number }): {
  readonly name: string;
  readonly unit: string;
  readonly factor: number;
} {
  const percentile = percentileOf(row.limit);
  if (percentile !== null)
    return { name: row.limit.replace(/^d/, "D").replace(/Um$/, ""), unit: "µm", factor: 1 };
  switch (row.limit) {
    case "sauterUm":
      return { name: "D[3,2]", unit: "µm", factor: 1 };
    case "deBrouckereUm":
      return { name: "D[4,3]", unit: "µm", factor: 1 };
    case "surfaceM2PerG":
      return { name: "Geometric area", unit: "m²/g", factor: 1 };
    case "belowShare":
      return { name: `Below ${row.sizeUm ?? "?"} µm`, unit: "%", factor: 100 };
    case "aboveShare":
      return { name: `Above ${row.sizeUm ?? "?"} µm`, unit: "%", factor: 100 };
    case "largestClassUm":
      return { name: "Largest class", unit: "µm", factor: 1 };
    default:
      return { name: "Span", unit: "", factor: 1 };
  }
}

/** A limit's name inside a sentence: "the share below 1 µm", "the span"; percentiles and means keep their letter. */
export function insideSentence(name: string): string {
  if (/^D[\d[]/.test(name)) return name;
  return `the ${/^(Below|Above)/.test(name) ? "share " : ""}${name.charAt(0).toLowerCase()}${name.slice(1)}`;
}

/** The name of a row's limit inside a sentence. */
export function nameInside(row: { readonly limit: string; readonly sizeUm?: number }): string {
  return insideSentence(limitWords(row).name);
}

/** A value of a limit's quantity with its unit: "3.65 µm", "3.50 %", "1.05". */
export function quantityText(
  row: { readonly limit: string; readonly sizeUm?: number },
  value: number,
  digits = 3,
): string {
  const { unit, factor } = limitWords(row);
  return `${figures(value * factor, digits)} ${unit}`.trim();
}

/** Two values of a limit's quantity, without the unit: "2.99–3.00". */
export function rangeText(
  row: { readonly limit: string; readonly sizeUm?: number },
  { low, high }: { readonly low: number; readonly high: number },
  digits = 3,
): string {
  const { factor } = limitWords(row);
  return `${figures(low * factor, digits)}–${figures(high * factor, digits)}`;
}

/** What limits require in words: "1.65–2.05", "at most 3.50", "at least 0.400". @param shown  a limit as it is written */
export function statisticText({ low, high }: Limits, shown: (limit: number) => string): string {
  if (low !== null && high !== null) return `${shown(low)}–${shown(high)}`;
  if (high !== null) return `at most ${shown(high)}`;
  return low === null ? "without a limit" : `at least ${shown(low)}`;
}

/** The limit that a value lies beyond; null where it is inside. */
export function limitBeyond(value: number, { low, high }: Limits): "low" | "high" | null {
  if (high !== null && value > high) return "high";
  return low !== null && value < low ? "low" : null;
}

/** Whether a limit is of a size that moves by whole classes. */
export function isByClass({ limit }: { readonly limit: string }): boolean {
  return limit === "largestClassUm";
}

/** Whether a limit is of the share below or above a size, which it must name. */
export function isShareAtSize({ limit }: { readonly limit: string }): boolean {
  return limit === "belowShare" || limit === "aboveShare";
}

/** What distinguishes a row from the others of its band. */
export function rowKey({ limit, sizeUm }: { readonly limit: string; readonly sizeUm?: number }): string {
  return `${limit}${sizeUm ?? ""}`;
}

/** What is wrong with the limits of a row, in a whole sentence; null where nothing is. */
export function limitsFault({ limit, low, high }: BandRow): string | null {
  const given = [low, high].filter((v) => v !== null);
  if (given.length === 0) return "Give a lower or an upper limit, or delete the limit.";
  if (low !== null && high !== null && low > high) return "The lower limit is above the upper one.";
  if (given.some((v) => v < 0)) return "A limit cannot be below zero.";
  if (isShareAtSize({ limit }) && given.some((v) => v > 1)) return "A share is at most 100 %.";
  return null;
}

/** The value that a row judges, of one run; null where it lies in the unseen share or needs a density that is not given. */
export function limitValue(
  row: BandRow,
  m: SizeDistribution,
  band: Pick<Band, "densityGPerCm3">,
): number | null {
  const percentile = percentileOf(row.limit);
  if (percentile !== null) return sizeAt(curveOf(m), percentile);
  switch (row.limit) {
    case "span":
      return span(curveOf(m));
    case "sauterUm":
      return meanDiameterUm(m, 3, 2);
    case "deBrouckereUm":
      return meanDiameterUm(m, 4, 3);
    case "surfaceM2PerG":
      return band.densityGPerCm3 === null ? null : (geometricSurface(m, band.densityGPerCm3)?.m2PerG ?? null);
    case "belowShare":
      return row.sizeUm === undefined ? null : knownUndersizeAt(curveOf(m), row.sizeUm);
    case "aboveShare": {
      const below = row.sizeUm === undefined ? null : knownUndersizeAt(curveOf(m), row.sizeUm);
      return below === null ? null : 1 - below;
    }
    case "largestClassUm":
      return m.aboveShare > 0 ? null : (m.upperUm[m.shares.findLastIndex((share) => share > 0)] ?? null);
    default:
      return null;
  }
}
