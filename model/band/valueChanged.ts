import { curveOf, knownUndersizeAt } from "#distributions/curve.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Band, BandRow } from "./band.ts";
import { isShareAtSize, limitValue } from "./limits.ts";

/**
 * The value that a row judges, had every size been multiplied by a factor; null where it is not known.
 * Sizes grow with the factor, the area falls with it, the span stays, a share below a size is that below the smaller one.
 */
export function valueChanged(
  row: BandRow,
  distribution: SizeDistribution,
  band: Pick<Band, "densityGPerCm3">,
  factor: number,
): number | null {
  if (isShareAtSize(row)) {
    const below =
      row.sizeUm === undefined ? null : knownUndersizeAt(curveOf(distribution), row.sizeUm / factor);
    return below === null || row.limit === "belowShare" ? below : 1 - below;
  }
  const value = limitValue(row, distribution, band);
  if (value === null || row.limit === "span") return value;
  return row.limit === "surfaceM2PerG" ? value / factor : value * factor;
}
