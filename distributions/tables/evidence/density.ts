import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";

export const densityKinds = ["density", "density-ln", "density-decade"] as const;
export type DensityKind = (typeof densityKinds)[number];

/** How far from 1 (or 100 %) a density may integrate: its values are rounded more than shares are. */
const densityTolerance = 0.02;
/** Where no word says that values are a density, they must add to a whole as shares do. */
const unsaidTolerance = 0.006;

export function isDensity(kind: ValuesOption): kind is DensityKind {
  return kind === "density" || kind === "density-ln" || kind === "density-decade";
}

/**
 * The share of each class from the slope of the undersize curve: per unit of size, per ln size or per decade.
 * Source: ISO 9276-1 (q3 and its form on a log axis).
 */
export function densityShares(
  values: readonly number[],
  lowerUm: readonly number[],
  upperUm: readonly number[],
  kind: DensityKind,
  umPerUnit: number,
): number[] {
  return values.map((value, i) => {
    const lower = lowerUm[i] ?? Number.NaN;
    const upper = upperUm[i] ?? Number.NaN;
    if (kind === "density") return (value * (upper - lower)) / umPerUnit;
    return kind === "density-ln" ? value * Math.log(upper / lower) : value * Math.log10(upper / lower);
  });
}

/** Under which kinds the values integrate to a whole, and whether that whole is 1 or 100 %. */
export function densityFits(
  values: readonly number[],
  lowerUm: readonly number[],
  upperUm: readonly number[],
  kinds: readonly DensityKind[],
  umPerUnit: number,
  isSaid: boolean,
): { kind: DensityKind; scale: ScaleOption }[] {
  const tolerance = isSaid ? densityTolerance : unsaidTolerance;
  return kinds.flatMap((kind): { kind: DensityKind; scale: ScaleOption }[] => {
    const sum = densityShares(values, lowerUm, upperUm, kind, umPerUnit).reduce((a, b) => a + b, 0);
    if (Math.abs(sum - 1) <= tolerance) return [{ kind, scale: "fraction" }];
    return Math.abs(sum / 100 - 1) <= tolerance ? [{ kind, scale: "percent" }] : [];
  });
}
