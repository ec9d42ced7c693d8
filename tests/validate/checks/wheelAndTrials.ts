import type { Mill } from "#model/mill/mill.ts";
import { posteriorOf, predict } from "#model/mill/trials/posterior.ts";
import { wheelCut } from "#model/mill/wheel/cut.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { type Check, type CheckGroup, table } from "../check.ts";
import { independentArithmetic } from "./independentArithmetic.ts";

const topic = "Wheel and trials";

const mill: Mill = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.05,
  freeAreaShare: 0.7,
  swirlRatio: 1,
  ratedSpeedRpm: null,
  gas: "air",
  temperatureC: 20,
  pressurePa: 101325,
  gasFlowM3PerH: 100,
  particleDensityGPerCm3: 4.7,
};

const cuts: CheckGroup = {
  topic,
  kind: "computed",
  source: independentArithmetic,
  checks: () => {
    const rows: [number, string, string][] = [
      [1000, "17.88985", "20.72848"],
      [2000, "8.94492", "9.75987"],
      [4000, "4.47246", "4.66642"],
      [8000, "2.23623", "2.23992"],
      [12000, "1.49082", "1.45302"],
      [20000, "0.89449", "0.83355"],
    ];
    return rows.flatMap(([rpm, stokes, full]): Check[] => [
      {
        quantity: `cut by Stokes at ${rpm} rpm, µm`,
        published: stokes,
        ours: () => wheelCut(mill, rpm, 100).stokesCutUm,
      },
      {
        quantity: `cut with slip and drag at ${rpm} rpm, µm`,
        published: full,
        ours: () => wheelCut(mill, rpm, 100).cutUm,
      },
    ]);
  },
};

const flat = posteriorOf(
  [4, 6, 8, 10].map((n) => [1, Math.log(n)]),
  [2.3, 1.92, 1.6, 1.41],
  [
    { mean: 0, sd: null },
    { mean: 0, sd: null },
  ],
  "flat",
);
const atNine = predict(flat, [1, Math.log(9)]);

const informed = posteriorOf(
  [4, 6, 8].map((n) => [1, Math.log(n / 6)]),
  [1.42, 1.03, 0.75],
  [
    { mean: 0.9, sd: 0.7 },
    { mean: -1, sd: 0.3 },
  ],
  { of: "scaled inverse χ²", degrees: 4, scale: 0.05 },
);
/** The same trials under the usual priors: half t of the noise, exponent −1 ± 0.5, and a bend of 0 ± 0.5. */
const bending = posteriorOf(
  [4, 6, 8].map((n) => [1, Math.log(n / 6), Math.log(n / 6) ** 2]),
  [1.42, 1.03, 0.75],
  [
    { mean: 0.9, sd: 0.7 },
    { mean: -1, sd: 0.5 },
    { mean: 0, sd: 0.5 },
  ],
  { of: "half t", degrees: 1, scale: 0.1 },
);
const bendingAtTen = predict(bending, [1, Math.log(10 / 6), Math.log(10 / 6) ** 2]);
const atTen = predict(informed, [1, Math.log(10 / 6)]);

const trials: CheckGroup = {
  topic,
  kind: "computed",
  source: independentArithmetic,
  checks: () => [
    {
      quantity: "speed exponent under a flat prior: the classical regression",
      published: "-0.984991",
      ours: () => flat.components.reduce((sum, c) => sum + c.weight * (c.mean[1] ?? 0), 0),
    },
    ...table<[number]>(
      [
        ["its 95 % prediction interval, lower end (Student t, 2 degrees)", "1.40276", 0.025],
        ["its upper end", "1.60705", 0.975],
      ],
      (p) => mixtureQuantile(atNine, p),
    ),
    ...table<[number]>(
      [
        ["informed prior: 5 % quantile of ln D50 (two quadratures)", "0.39567", 0.05],
        ["informed prior: median", "0.53309", 0.5],
        ["informed prior: 95 % quantile", "0.66817", 0.95],
      ],
      (p) => mixtureQuantile(atTen, p),
    ),
    ...table<[number]>(
      [
        ["law that may bend, half t of the noise: 5 % quantile of ln D50 (one quadrature)", "0.297", 0.05],
        ["law that may bend: median", "0.531", 0.5],
        ["law that may bend: 95 % quantile", "0.762", 0.95],
      ],
      (p) => mixtureQuantile(bendingAtTen, p),
    ),
  ],
};

export const wheelAndTrials: readonly CheckGroup[] = [cuts, trials];
