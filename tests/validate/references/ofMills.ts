import { gasState } from "#model/mill/gas/gas.ts";
import type { Mill } from "#model/mill/mill.ts";
import { posteriorOf, predict } from "#model/mill/trials/posterior.ts";
import { wheelCut } from "#model/mill/wheel/cut.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";
import type { Question } from "./question.ts";

const speeds = [4, 6, 8, 10, 12];
const lnD50 = [2.31, 1.88, 1.62, 1.37, 1.21];
const flat = posteriorOf(
  speeds.map((n) => [1, Math.log(n)]),
  lnD50,
  [
    { mean: 0, sd: null },
    { mean: 0, sd: null },
  ],
  "flat",
);
const quantilesAsked = [0.05, 0.5, 0.95];

const trials: Question = {
  what: "speed exponent and prediction interval of trials under a flat prior",
  call: "scipy.stats.linregress, scipy.stats.t.ppf",
  tolerance: 1e-4,
  asked: { ask: "straight line", x: speeds, y: lnD50, at: 9, fractions: quantilesAsked },
  ours: [
    flat.components.reduce((sum, c) => sum + c.weight * (c.mean[1] ?? 0), 0),
    ...quantilesAsked.map((p) => mixtureQuantile(predict(flat, [1, Math.log(9)]), p)),
  ],
};

const mill: Mill = {
  wheelRadiusM: 0.06,
  wheelHeightM: 0.04,
  freeAreaShare: 0.8,
  swirlRatio: 1,
  ratedSpeedRpm: null,
  gas: "nitrogen",
  temperatureC: 40,
  pressurePa: 98000,
  gasFlowM3PerH: 120,
  particleDensityGPerCm3: 5.1,
};
const gas = gasState(mill.gas, mill.temperatureC + 273.15, mill.pressurePa);
const speedsRpm = [1500, 3000, 6000, 9000, 15000];

const cuts: Question = {
  what: "wheel cuts",
  call: "scipy.optimize.brentq",
  tolerance: 1e-11,
  asked: {
    ask: "wheel cuts",
    radiusM: mill.wheelRadiusM,
    heightM: mill.wheelHeightM,
    freeAreaShare: mill.freeAreaShare,
    densityGPerCm3: mill.particleDensityGPerCm3,
    flowM3PerH: mill.gasFlowM3PerH,
    viscosity: gas.viscosityPaS,
    gasDensity: gas.densityKgPerM3,
    freePathM: gas.meanFreePathM,
    speedsRpm,
  },
  ours: speedsRpm.map((rpm) => wheelCut(mill, rpm, mill.gasFlowM3PerH).cutUm),
};

export const ofMills: readonly Question[] = [trials, cuts];
