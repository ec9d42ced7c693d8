import { logNormalMoment } from "#distributions/families/logNormal.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { itemAt } from "#distributions/lists.ts";
import { convert, geometricSurface } from "#distributions/moments.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { fitSummary } from "#model/fit/fitFamily.ts";

/** The geometric area between what was seen and what a fitted tail would add below it. */
export interface UnseenFines {
  /** Where the finest class begins: nothing finer was seen. */
  readonly belowUm: number;
  /** From the classes alone. */
  readonly seenM2PerG: number;
  /** What the share below the finest class adds at the least: all of it as large as it can be. */
  readonly leastM2PerG: number;
  /** What the tail of a log-normal fit adds below the finest class. */
  readonly tailM2PerG: number;
}

/**
 * The area that fines below the instrument's limit may add: the part of 6/ρ·∫x⁻¹ dQ that a log-normal fit has there.
 * A figure for how much hangs on the unseen, not a correction: the tail of a powder need not follow its body.
 *
 * @returns null where the powder cannot be counted by volume, or nothing can be fitted
 * Source: partial moment of a log-normal curve, x50·exp(−σ²) for k = −1; docs/science.md.
 */
export function unseenFines(one: NamedMeasurement, densityGPerCm3: number): UnseenFines | null {
  const seen = geometricSurface(one.distribution, densityGPerCm3);
  const volume = convert(one.distribution, "volume");
  if (seen === null || volume === null) return null;
  const belowUm = itemAt(volume.lowerUm, 0);
  const fit = fitSummary({ ...one, distribution: volume }, "log-normal");
  if (fit === null || fit.family !== "log-normal") return null;
  const { medianUm, gsd } = fit.parameters;
  const sigma = Math.log(gsd);
  const below = normalForm.undersize((Math.log(belowUm / medianUm) + sigma ** 2) / sigma);
  const whole = logNormalMoment(fit.parameters, -1);
  const perShare = 6 / densityGPerCm3;
  return {
    belowUm,
    seenM2PerG: seen.m2PerG,
    leastM2PerG: (perShare * volume.belowShare) / belowUm,
    tailM2PerG: perShare * whole * below,
  };
}
