import { bisected } from "#distributions/bisection.ts";
import { DomainError } from "#distributions/domainError.ts";
import { gasState, slipCorrection } from "#model/mill/gas/gas.ts";
import type { Mill } from "../mill.ts";

/** Where the wheel cuts by the balance of drag and centrifugal force; physics, not a promise: the gas slips on the wheel. */
export interface Cut {
  /** With slip and Reynolds number. docs/science.md. */
  readonly cutUm: number;
  /** Stokes's law alone. docs/science.md. */
  readonly stokesCutUm: number;
  readonly tipSpeedMPerS: number;
  /** Gas through the wheel's open area, inward. docs/science.md. */
  readonly radialGasSpeedMPerS: number;
}

/** Rim speed 2πrn, m/s. */
export function tipSpeedMPerS(mill: Mill, speedRpm: number): number {
  return (2 * Math.PI * mill.wheelRadiusM * speedRpm) / 60;
}

/**
 * The size whose drag inward equals its centrifugal force outward at the wheel's rim.
 *
 * @param flowM3PerH  gas flow at the wheel's own temperature and pressure
 * @throws            DomainError for a speed or flow that is not positive, or powder no denser than the gas
 * Source: Stokes's law with Davies's slip (1945) and Schiller–Naumann's drag (1 + 0.15 Re^0.687, Re < 1000); docs/science.md.
 * Accuracy: 1e-12 in ln x by bisection.
 */
export function wheelCut(mill: Mill, speedRpm: number, flowM3PerH: number): Cut {
  if (!(speedRpm > 0)) throw new DomainError("speedRpm", "must be above zero", speedRpm);
  if (!(flowM3PerH > 0)) throw new DomainError("flowM3PerH", "must be above zero", flowM3PerH);
  const r = mill.wheelRadiusM;
  const gas = gasState(mill.gas, mill.temperatureC + 273.15, mill.pressurePa);
  const excess = mill.particleDensityGPerCm3 * 1000 - gas.densityKgPerM3;
  if (!(excess > 0))
    throw new DomainError("particleDensityGPerCm3", "must exceed the gas's", mill.particleDensityGPerCm3);
  const radial = flowM3PerH / 3600 / (2 * Math.PI * r * mill.wheelHeightM * mill.freeAreaShare);
  const tip = tipSpeedMPerS(mill, speedRpm);
  const swirl = mill.swirlRatio * tip;
  const stokesSquare = (18 * gas.viscosityPaS * radial * r) / (excess * swirl ** 2);
  const balance = (x: number) => {
    const reynolds = (gas.densityKgPerM3 * radial * x) / gas.viscosityPaS;
    return x ** 2 * slipCorrection(x, gas.meanFreePathM) - stokesSquare * (1 + 0.15 * reynolds ** 0.687);
  };
  // ln of a size between a nanometre and a metre.
  const lnCutM = bisected(Math.log(1e-9), 0, 1e-13, (ln) => balance(Math.exp(ln)) < 0);
  return {
    cutUm: 1e6 * Math.exp(lnCutM),
    stokesCutUm: 1e6 * Math.sqrt(stokesSquare),
    tipSpeedMPerS: tip,
    radialGasSpeedMPerS: radial,
  };
}
