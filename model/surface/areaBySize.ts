import { itemAt } from "#distributions/lists.ts";
import { convert, meanOfPower } from "#distributions/moments.ts";
import { classesOf, orderShift, type SizeDistribution } from "#distributions/sizeDistribution.ts";

/** The share of the geometric area that one class carries. */
export interface AreaOfClass {
  readonly fromUm: number;
  readonly toUm: number;
  readonly share: number;
}

/** The area of one run by class. */
export interface RunArea {
  readonly areaM2PerG: number;
  readonly bySize: readonly AreaOfClass[];
}

/**
 * What the area of a lot rests on: each class's part of the areas of all its runs together.
 * @returns null where the runs have not the same classes
 */
export function areaBySizeOver(runs: readonly RunArea[]): readonly AreaOfClass[] | null {
  const [first] = runs;
  const isSame = ({ bySize }: RunArea) =>
    bySize.length === first?.bySize.length && bySize.every((c, i) => c.toUm === first.bySize[i]?.toUm);
  if (first === undefined || !runs.every(isSame)) return null;
  const whole = runs.reduce((sum, run) => sum + run.areaM2PerG, 0);
  return first.bySize.map((c, i) => ({
    ...c,
    share: runs.reduce((sum, run) => sum + run.areaM2PerG * itemAt(run.bySize, i).share, 0) / whole,
  }));
}

/**
 * What the area rests on: each class's share of ∫ x⁻¹ by volume, over the classes alone.
 * @returns null where the distribution cannot be counted by volume
 */
export function areaBySize(m: SizeDistribution): readonly AreaOfClass[] | null {
  const volume = convert(m, "volume");
  if (volume === null) return null;
  const k = orderShift(volume);
  const areas = classesOf(volume).map(({ lowerUm, upperUm, share }) => ({
    fromUm: lowerUm,
    toUm: upperUm,
    area:
      (share * meanOfPower(lowerUm, upperUm, k - 1, volume.inClass)) /
      meanOfPower(lowerUm, upperUm, k, volume.inClass),
  }));
  const sum = areas.reduce((whole, { area }) => whole + area, 0);
  return areas.map(({ fromUm, toUm, area }) => ({ fromUm, toUm, share: sum > 0 ? area / sum : 0 }));
}
