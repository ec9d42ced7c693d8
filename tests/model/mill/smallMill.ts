import type { Mill } from "#model/mill/mill.ts";

/** The mill of the golden values: r = H = 0.05 m, 0.7 free, 100 m³/h of air at 20 °C and one atmosphere, 4.7 g/cm³. */
export const smallMill: Mill = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.05,
  freeAreaShare: 0.7,
  swirlRatio: 1,
  ratedSpeedRpm: 10_000,
  gas: "air",
  temperatureC: 20,
  pressurePa: 101_325,
  gasFlowM3PerH: 100,
  particleDensityGPerCm3: 4.7,
};
