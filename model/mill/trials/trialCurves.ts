import type { Problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { byVolume } from "#model/lot/byVolume.ts";

/**
 * The whole curves of trials as the plan takes them: by volume, since the law's sizes, the product's shape and the mill's
 * balance are by volume. One by one, as each trial is a product of its own: what cannot be turned is refused and left out.
 */
export function curvesByVolume(curves: readonly NamedMeasurement[]): {
  readonly curves: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
} {
  const turned = curves.map((curve) => byVolume([curve], "The wheel plan is by volume"));
  return {
    curves: turned.flatMap(({ runs }) => runs ?? []),
    problems: turned.flatMap(({ problems }) => problems),
  };
}
