import { gasState, idealJetPowerW } from "#model/mill/gas/gas.ts";
import type { Mill } from "../mill.ts";

/** What a run costs in gas, where the mill's nozzle pressure is known. */
export interface JetCost {
  /** Power of the expanding gas without any loss; a compressor takes more. */
  readonly powerKW: number;
  /** Over the feed; null where the feed is not known. */
  readonly energyKWhPerKg: number | null;
  readonly gasKgPerH: number;
}

/** @returns null where no nozzle pressure is entered */
export function jetCost(mill: Mill, flowM3PerH: number, feedKgPerH: number | null): JetCost | null {
  const beforePa = mill.nozzlePressurePa ?? null;
  if (beforePa === null) return null;
  const temperatureK = mill.temperatureC + 273.15;
  const { densityKgPerM3 } = gasState(mill.gas, temperatureK, mill.pressurePa);
  const gasKgPerH = densityKgPerM3 * flowM3PerH;
  const powerKW =
    idealJetPowerW(mill.gas, gasKgPerH / 3600, { temperatureK, beforePa, afterPa: mill.pressurePa }) / 1000;
  return { powerKW, energyKWhPerKg: feedKgPerH === null ? null : powerKW / feedKgPerH, gasKgPerH };
}
