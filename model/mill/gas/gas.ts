import { DomainError } from "#distributions/domainError.ts";

export type GasName = "air" | "nitrogen" | "argon" | "steam";

export const gasNames: readonly GasName[] = ["air", "nitrogen", "argon", "steam"];

interface GasConstants {
  readonly mu0: number;
  readonly t0K: number;
  readonly sK: number;
  readonly molarMassGPerMol: number;
  /** cp/cv. */
  readonly heatRatio: number;
}

/**
 * Sutherland's constants, molar mass and heat ratio. Steam is superheated.
 * From memory; viscosities checked against the CRC Handbook table within 2 % from 200 to 600 K (air, nitrogen, argon).
 */
const gases: Readonly<Record<GasName, GasConstants>> = {
  air: { mu0: 1.716e-5, t0K: 273.15, sK: 110.4, molarMassGPerMol: 28.9647, heatRatio: 1.4 },
  nitrogen: { mu0: 1.663e-5, t0K: 273.15, sK: 107, molarMassGPerMol: 28.0134, heatRatio: 1.4 },
  argon: { mu0: 2.125e-5, t0K: 273.15, sK: 144, molarMassGPerMol: 39.948, heatRatio: 1.667 },
  steam: { mu0: 1.12e-5, t0K: 350, sK: 1064, molarMassGPerMol: 18.0153, heatRatio: 1.33 },
};

/** Molar gas constant, J/(mol K). Source: CODATA 2018, exact. */
const molarGasConstant = 8.314462618;

export interface GasState {
  readonly viscosityPaS: number;
  readonly densityKgPerM3: number;
  readonly meanFreePathM: number;
}

/**
 * Viscosity, density and mean free path of a gas.
 *
 * @param pressurePa  absolute
 * @throws            DomainError for a temperature or pressure that is not above zero
 * Source: Sutherland's law; ideal gas; λ = (μ/p)·√(πRT/2M) (kinetic theory). docs/science.md.
 */
export function gasState(gas: GasName, temperatureK: number, pressurePa: number): GasState {
  if (!(temperatureK > 0)) throw new DomainError("temperatureK", "must be above zero", temperatureK);
  if (!(pressurePa > 0)) throw new DomainError("pressurePa", "must be above zero", pressurePa);
  const { mu0, t0K, sK, molarMassGPerMol } = gases[gas];
  const molarMass = molarMassGPerMol / 1000;
  const viscosityPaS = (mu0 * (temperatureK / t0K) ** 1.5 * (t0K + sK)) / (temperatureK + sK);
  return {
    viscosityPaS,
    densityKgPerM3: (pressurePa * molarMass) / (molarGasConstant * temperatureK),
    meanFreePathM:
      (viscosityPaS / pressurePa) * Math.sqrt((Math.PI * molarGasConstant * temperatureK) / (2 * molarMass)),
  };
}

/** How much less a gas holds back a fine particle. Source: Davies 1945: 1 + (2λ/x)(1.257 + 0.4 exp(−0.55 x/λ)). */
export function slipCorrection(sizeM: number, meanFreePathM: number): number {
  return 1 + ((2 * meanFreePathM) / sizeM) * (1.257 + 0.4 * Math.exp((-0.55 * sizeM) / meanFreePathM));
}

/** Of a normal cubic metre: 0 °C and one standard atmosphere, dry. */
const normalTemperatureK = 273.15;
const normalPressurePa = 101325;

/** Flow at a temperature and absolute pressure from the same gas in normal cubic metres. Source: ideal gas; docs/science.md. */
export function actualFlowM3PerH(normalM3PerH: number, temperatureK: number, pressurePa: number): number {
  return normalM3PerH * (temperatureK / normalTemperatureK) * (normalPressurePa / pressurePa);
}

/** The reverse of `actualFlowM3PerH`. */
export function normalFlowM3PerH(actualM3PerH: number, temperatureK: number, pressurePa: number): number {
  return actualM3PerH / actualFlowM3PerH(1, temperatureK, pressurePa);
}

/** A gas before and behind a nozzle. */
export interface Expansion {
  /** Before it. */
  readonly temperatureK: number;
  /** Absolute, before and behind it. */
  readonly beforePa: number;
  readonly afterPa: number;
}

/**
 * Power of gas that expands without loss through a nozzle: ṁ γ/(γ−1) (R/M) T [1 − (p2/p1)^((γ−1)/γ)].
 *
 * @returns            W; 0 where the pressure does not fall
 * @throws DomainError  a pressure that is not above zero
 * Source: isentropic expansion of an ideal gas (textbook); docs/science.md. A real compressor needs more.
 */
export function idealJetPowerW(
  gas: GasName,
  massKgPerS: number,
  { temperatureK, beforePa, afterPa }: Expansion,
): number {
  if (!(beforePa > 0 && afterPa > 0))
    throw new DomainError("pressurePa", "must be above zero", `${beforePa} and ${afterPa}`);
  const { heatRatio, molarMassGPerMol } = gases[gas];
  const exponent = (heatRatio - 1) / heatRatio;
  const specific = (molarGasConstant / (molarMassGPerMol / 1000)) * temperatureK;
  return Math.max(0, (massKgPerS / exponent) * specific * (1 - (afterPa / beforePa) ** exponent));
}
