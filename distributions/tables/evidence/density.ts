import { itemAt } from "#distributions/lists.ts";
import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";

export const densityKinds = ["density", "density-ln", "density-decade"] as const;
export type DensityKind = (typeof densityKinds)[number];

/** How far from 1 (or 100 %) a density may integrate: its values are rounded more than shares are. */
const densityTolerance = 0.02;
/** Where no word says that values are a density, that is asked, and seldom where they are none. */
const unsaidTolerance = 0.015;

export function isDensity(kind: ValuesOption): kind is DensityKind {
  return kind === "density" || kind === "density-ln" || kind === "density-decade";
}

/** A density, one value a class, with the edges of the classes. */
export interface DensityOfClasses {
  readonly values: readonly number[];
  readonly lowerUm: readonly number[];
  readonly upperUm: readonly number[];
  /** µm in one unit of the sizes, for a density per unit of size. */
  readonly umPerUnit: number;
}

/**
 * The share of each class from the slope of the undersize curve: per unit of size, per ln size or per decade.
 * Source: ISO 9276-1 (q3 and its form on a log axis).
 */
export function densityShares(
  { values, lowerUm, upperUm, umPerUnit }: DensityOfClasses,
  kind: DensityKind,
): number[] {
  return values.map((value, i) => {
    const lower = itemAt(lowerUm, i);
    const upper = itemAt(upperUm, i);
    if (kind === "density") return (value * (upper - lower)) / umPerUnit;
    return kind === "density-ln" ? value * Math.log(upper / lower) : value * Math.log10(upper / lower);
  });
}

/**
 * Under which kinds the values integrate to a whole, and whether that whole is 1 or 100 %.
 * @param isSaid  whether a word says that the values are a density, which allows for more rounding
 */
export function densityFits(
  density: DensityOfClasses,
  kinds: readonly DensityKind[],
  isSaid: boolean,
): { kind: DensityKind; scale: ScaleOption }[] {
  const tolerance = isSaid ? densityTolerance : unsaidTolerance;
  return kinds.flatMap((kind): { kind: DensityKind; scale: ScaleOption }[] => {
    const sum = densityShares(density, kind).reduce((a, b) => a + b, 0);
    if (Math.abs(sum - 1) <= tolerance) return [{ kind, scale: "fraction" }];
    return Math.abs(sum / 100 - 1) <= tolerance ? [{ kind, scale: "percent" }] : [];
  });
}
