import { type Measured, orderShift } from "#distributions/measured.ts";
import { convert, meanOfPower } from "#distributions/moments.ts";

/** The share of the geometric area that one class carries. */
export interface AreaOfClass {
  readonly fromUm: number;
  readonly toUm: number;
  readonly share: number;
}

/**
 * What the area rests on: each class's share of ∫ x⁻¹ by volume, over the classes alone.
 * @returns null where the distribution cannot be counted by volume
 */
export function areaBySize(m: Measured): readonly AreaOfClass[] | null {
  const volume = convert(m, "volume");
  if (volume === null) return null;
  const k = orderShift(volume);
  const areas = volume.shares.map((share, i) => {
    const lower = volume.lowerUm[i] ?? Number.NaN;
    const upper = volume.upperUm[i] ?? Number.NaN;
    return (
      (share * meanOfPower(lower, upper, k - 1, volume.inClass)) /
      meanOfPower(lower, upper, k, volume.inClass)
    );
  });
  const sum = areas.reduce((a, b) => a + b, 0);
  return areas.map((area, i) => ({
    fromUm: volume.lowerUm[i] ?? 0,
    toUm: volume.upperUm[i] ?? 0,
    share: sum > 0 ? area / sum : 0,
  }));
}
