import { type Curve, curveOf, undersizeAt } from "#distributions/curve.ts";
import { itemAt, neighbours } from "#distributions/lists.ts";
import { convert } from "#distributions/moments.ts";
import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import { aerodynamicUm } from "./aerodynamic.ts";
import { conventionalShare, type Fraction } from "./conventions.ts";

/** A mass share of the powder, and how far what lies outside the classes could move it. */
export interface FineShare {
  readonly low: number;
  readonly high: number;
}

/** Steps in ln x over one class: the conventions are smooth, so Simpson's rule with eight is right to 1e-9. */
const steps = 8;

/**
 * The share of the bulk powder's mass that each convention would count if every grain were airborne on its own.
 * A planning figure about the powder, not about any air.
 *
 * @returns null where the distribution cannot be counted by volume
 * Source: ISO 7708, EN 481 conventions; the idea of EN 17289 (size-weighted fraction of a bulk powder), from memory.
 */
export function fineFractions(
  m: SizeDistribution,
  densityGPerCm3: number,
  shapeFactor: number,
): Readonly<Record<Fraction, FineShare>> | null {
  const volume = convert(m, "volume");
  if (volume === null) return null;
  const curve = curveOf(volume);
  const at = (fraction: Fraction, um: number) =>
    conventionalShare(fraction, aerodynamicUm(um, densityGPerCm3, shapeFactor));
  const of = (fraction: Fraction): FineShare => {
    let seen = 0;
    for (const [from, to] of neighbours(curve.edgesUm))
      seen += classShare(curve, from, to, (um) => at(fraction, um));
    const first = itemAt(curve.edgesUm, 0);
    const last = itemAt(curve.edgesUm, -1);
    // Every convention falls with size: what is finer counts at least as at the first edge, and at most in full.
    return {
      low: seen + volume.belowShare * at(fraction, first),
      high: seen + volume.belowShare + volume.aboveShare * at(fraction, last),
    };
  };
  return { inhalable: of("inhalable"), thoracic: of("thoracic"), respirable: of("respirable") };
}

/** ∫ of a weight over the mass of one class, in pieces of equal ln x. */
function classShare(curve: Curve, from: number, to: number, weight: (um: number) => number): number {
  const width = Math.log(to / from) / steps;
  let sum = 0;
  for (let i = 0; i < steps; i++) {
    const a = from * Math.exp(i * width);
    const b = i === steps - 1 ? to : from * Math.exp((i + 1) * width);
    const mass = undersizeAt(curve, b) - undersizeAt(curve, a);
    sum += (mass * (weight(a) + 4 * weight(Math.sqrt(a * b)) + weight(b))) / 6;
  }
  return sum;
}
