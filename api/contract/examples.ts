import type { Band } from "#model/band/band.ts";
import type { Mill } from "#model/mill/mill.ts";

// What the API's document shows as requests. A test sends each of them.

const tableText = "size,share\n1,20\n2,60\n4,20\n";
/** How such a table is read: sizes are upper edges in µm, shares per cent of the volume. */
const readAs = { edge: "upper", values: "class", scale: "percent", unit: "um", quantity: "volume" };

export const exampleTable = { name: "lot.csv", text: tableText };
export const exampleOptions = readAs;
export const exampleRuns = {
  name: "reference.csv",
  text: "size,run 1,run 2,run 3,run 4,run 5\n1,20,21,19,20,20\n2,60,59,60,61,60\n4,20,20,21,19,20\n",
};

export const exampleBand: Band = {
  version: 1,
  name: "garnet, re-fired",
  stage: "re-fired",
  densityGPerCm3: 4.55,
  rule: "two-sided",
  rows: [{ limit: "d50Um", low: 1.2, high: 1.8 }],
  envelope: null,
};

export const exampleMill: Mill = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.05,
  freeAreaShare: 0.7,
  swirlRatio: 1,
  ratedSpeedRpm: 9000,
  gas: "air",
  temperatureC: 20,
  pressurePa: 101325,
  gasFlowM3PerH: 300,
  particleDensityGPerCm3: 4.55,
};

export const exampleTrial = {
  speedRpm: 6000,
  gasFlowM3PerH: 300,
  feedKgPerH: 8,
  d10Um: 1.1,
  d50Um: 2.6,
  d90Um: 5.1,
};

export const exampleCircuit = {
  feedEdgesUm: [1, 2, 4, 8, 16],
  feedShares: [0.1, 0.2, 0.4, 0.3],
  cutUm: 4.4,
  sharpness: 0.6,
  separation: "log-logistic",
  rateAt1UmPerS: 0.02,
  rateExponent: 1,
  fragments: { kind: "power", exponent: 1.4 },
  offerPerS: 1,
};

export const exampleHistory =
  "lot,firingC,d50Um\nL1,1580,3.2\nL2,1600,3.3\nL3,1620,3.4\nL4,1600,3.3\nL5,1580,3.2\n";

/** Lots whose sizes were measured after two steps. */
export const exampleChain =
  "lot,firingC,firedD50Um,speedRpm,milledD50Um\nL1,1580,7.6,6000,3.3\nL2,1600,8.2,6300,3.1\nL3,1620,8.6,6600,3.0\nL4,1600,8.0,6300,3.2\n";
