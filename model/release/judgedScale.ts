import type { BandRow } from "#model/band/band.ts";
import { isByClass, isShareAtSize } from "#model/band/limits.ts";
import type { Limits } from "#model/numbers/jointChance.ts";

/** The scale on which a limit's value scatters evenly: ln of sizes, spans and areas, logit of shares. */
export type JudgedScale = "ln" | "logit";

/** @returns null for a size that moves by whole classes, which has no spread between them */
export function judgedScale(row: Pick<BandRow, "limit">): JudgedScale | null {
  if (isByClass(row)) return null;
  return isShareAtSize(row) ? "logit" : "ln";
}

/** A value on its scale; null where it has none: a share of 0 or 1, a size of 0. */
export function onScale(value: number, scale: JudgedScale): number | null {
  const scaled = scale === "ln" ? Math.log(value) : Math.log(value / (1 - value));
  return Number.isFinite(scaled) ? scaled : null;
}

/** Limits on the scale of their value; a limit that no value can pass is none. */
export function limitsOnScale({ low, high }: Limits, scale: JudgedScale): Limits {
  return {
    low: low === null || low <= 0 ? null : onScale(low, scale),
    high: high === null || (scale === "logit" && high >= 1) ? null : onScale(high, scale),
  };
}
