import { DomainError } from "#distributions/domainError.ts";
import { slipCorrection } from "#model/mill/gas/gas.ts";

/** Mean free path of air at 20 °C and 101325 Pa. Source: λ = (μ/p)√(πRT/2M), model/mill/gas/gas.ts. */
export const airMeanFreePathM = 65.06e-9;

/**
 * The diameter of the sphere of 1 g/cm³ that falls as fast: D = x √(ρ/χ · Cc(x)/Cc(D)), by repeated substitution.
 *
 * @param sizeUm          volume-equivalent diameter
 * @param densityGPerCm3  of the particle, pores and all
 * @param shapeFactor     dynamic shape factor χ: 1 for a sphere, 1.1–1.4 for usual grains
 * @throws DomainError    for a density or shape factor that is not positive
 * Accuracy: to 1e-12 of D.
 * Source: Hinds, Aerosol Technology (from memory); slip of Davies (1945).
 */
export function aerodynamicUm(sizeUm: number, densityGPerCm3: number, shapeFactor: number): number {
  if (!(densityGPerCm3 > 0)) throw new DomainError("densityGPerCm3", "must be positive", densityGPerCm3);
  if (!(shapeFactor > 0)) throw new DomainError("shapeFactor", "must be positive", shapeFactor);
  const cunningham = (um: number) => slipCorrection(um * 1e-6, airMeanFreePathM);
  const wanted = sizeUm * sizeUm * (densityGPerCm3 / shapeFactor) * cunningham(sizeUm);
  let diameter = Math.sqrt(wanted);
  for (let i = 0; i < 200; i++) {
    const next = Math.sqrt(wanted / cunningham(diameter));
    if (Math.abs(next - diameter) <= 1e-13 * next) return next;
    diameter = next;
  }
  return diameter;
}
