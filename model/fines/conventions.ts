import { normalForm } from "#distributions/families/normalForm.ts";

/** The three conventional fractions of airborne particles. */
export type Fraction = "inhalable" | "thoracic" | "respirable";

export const fractions: readonly Fraction[] = ["inhalable", "thoracic", "respirable"];

const largestInhalableUm = 100;
const thoracic = { medianUm: 11.64, gsd: 1.5 };
const respirable = { medianUm: 4.25, gsd: 1.5 };

/**
 * The share of particles of an aerodynamic diameter that the convention counts.
 * Inhalable 0.5(1 + exp(−0.06 D)), up to 100 µm; thoracic and respirable: that times one less a cumulative log-normal.
 *
 * @param aerodynamicUm  above 0
 * Source: ISO 7708:1995, EN 481:1993 (formulas from memory; points read, see docs/validation.md).
 */
export function conventionalShare(fraction: Fraction, aerodynamicUm: number): number {
  const inhalable = aerodynamicUm > largestInhalableUm ? 0 : 0.5 * (1 + Math.exp(-0.06 * aerodynamicUm));
  if (fraction === "inhalable") return inhalable;
  const { medianUm, gsd } = fraction === "thoracic" ? thoracic : respirable;
  return inhalable * normalForm.undersize(-Math.log(aerodynamicUm / medianUm) / Math.log(gsd));
}
