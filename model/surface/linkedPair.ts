import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import { geometricSurface } from "#distributions/moments.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { type BetPair, betResult, type Noted, whyNotCompared } from "./bet.ts";
import { calibrationMetadata } from "./calibrationMetadata.ts";

/** A stage of a lot as kept: its runs that count, and what was noted for the lot. */
export interface PairedStage {
  readonly stage: string;
  readonly material: string;
  readonly densityGPerCm3: number;
  readonly runs: readonly (NamedMeasurement & { readonly howMeasured?: MeasurementMetadata })[];
  readonly settings: readonly { readonly name: string; readonly value: string }[];
  readonly results: readonly Noted[];
}

/**
 * The calibration pair of a stage of a lot: the mean of the BET areas noted for it with the mean geometric area of its
 * runs. It follows from what is kept, so correcting a digit or excluding a run corrects the pair.
 *
 * @returns  null without a BET area that can be compared, or where the area of a run is not known
 */
export function linkedPair(kept: PairedStage): BetPair | null {
  const { stage, material, densityGPerCm3, runs, settings, results } = kept;
  const found = results.filter(
    (r) => r.name === betResult && r.stage === stage && whyNotCompared(r) === null,
  );
  const volume = byVolume(runs).runs ?? [];
  const areas = volume.map((run) => geometricSurface(run.distribution, densityGPerCm3)?.m2PerG ?? null);
  const known = areas.filter((area) => area !== null);
  if (found.length === 0 || known.length === 0 || known.length < areas.length) return null;
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  return {
    stage,
    material,
    geometricM2PerG: mean(known),
    betM2PerG: mean(found.map((r) => r.value)),
    ...calibrationMetadata(runs, settings),
    densityGPerCm3,
  };
}

/** Two areas agree where they differ by less than the rounding of a typed one, three figures. */
const typedSlack = 0.005;

/**
 * Linked pairs and typed ones together. One that was typed from a lot whose pair is linked is the same powder twice and
 * is left out.
 */
export function withTyped<P extends BetPair, T extends BetPair>(
  linked: readonly P[],
  typed: readonly T[],
): readonly (P | T)[] {
  const agrees = (a: number, b: number) => Math.abs(a / b - 1) < typedSlack;
  const isTwin = (one: T) =>
    linked.some(
      (pair) =>
        pair.stage === one.stage &&
        agrees(pair.betM2PerG, one.betM2PerG) &&
        agrees(pair.geometricM2PerG, one.geometricM2PerG),
    );
  return [...linked, ...typed.filter((one) => !isTwin(one))];
}
