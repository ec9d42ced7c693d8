import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { ownRuns } from "#model/lot/copies.ts";
import { type OverRuns, overRuns } from "#model/lot/overRuns.ts";

/** D10, D50 and D90 of a lot by volume over its runs, µm, each with its interval. */
export interface LotSizes {
  readonly d10Um: OverRuns;
  readonly d50Um: OverRuns;
  readonly d90Um: OverRuns;
}

/** Copies are no runs. @returns null where a run cannot be counted by volume, or there is none */
export function lotSizes(measurements: readonly NamedMeasurement[], level = 0.95): LotSizes | null {
  const { runs } = byVolume(measurements);
  if (runs === null || runs.length === 0) return null;
  const curves = ownRuns(
    runs.map((run) => curveOf(run.distribution)),
    (curve) => curve,
  );
  const over = (fraction: number) =>
    overRuns(
      curves.map((curve) => sizeAt(curve, fraction)),
      level,
    );
  return { d10Um: over(0.1), d50Um: over(0.5), d90Um: over(0.9) };
}
