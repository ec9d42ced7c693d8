import { logNormal } from "#distributions/families/logNormal.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { chainOf } from "#model/chain/chain.ts";
import { type StepRecord, stepLaw } from "#model/chain/stepLaw.ts";
import { fromParents } from "#model/compare/fromParents.ts";
import { driftOf } from "#model/factors/drift.ts";
import { correlationWithNext, withoutStep } from "#model/factors/kernels/serial.ts";
import { chanceOfOrder, kendallScore } from "#model/lot/trends.ts";
import { posteriorOf, predict } from "#model/mill/trials/posterior.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";
import type { Question } from "./question.ts";

// Invented, the same each time.
const fractions = [0.05, 0.5, 0.95];

/** ln D10, D50 and D90 of eight trials over ln of speed, bent; each with the law that the trials' regression has. */
const speeds = [0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.3].map(Math.log);
const sizesOfTrials = [0.4, 1.15, 1.75].map((middle, s) =>
  speeds.map((x, i) => middle - (1.2 - 0.15 * s) * x + 0.3 * x * x + 0.04 * Math.sin(5.3 * i + s)),
);
const lawRows = speeds.map((x) => [1, x, x * x]);
const lawAt = [1, Math.log(1.5), Math.log(1.5) ** 2];
const lawPriors = [
  { mean: 0, sd: null },
  { mean: -1, sd: 0.5 },
  { mean: 0, sd: 0.5 },
];
const laws = sizesOfTrials.map((y, s): Question => {
  const posterior = posteriorOf(lawRows, y, lawPriors, { of: "half t", degrees: 1, scale: 0.1 });
  return {
    what: `D${[10, 50, 90][s]} beyond the trials by a bent law of speed, half-Cauchy scatter: both ends and median`,
    call: "numpy.linalg over a grid of σ, scipy.stats.norm",
    tolerance: 1e-9,
    asked: {
      ask: "mill law",
      rows: lawRows,
      y,
      means: lawPriors.map(({ mean }) => mean),
      sds: lawPriors.map(({ sd }) => sd),
      at: lawAt,
      fractions,
    },
    ours: fractions.map((p) => Math.exp(mixtureQuantile(predict(posterior, lawAt), p))),
  };
});

const temperatures = [1540, 1560, 1580, 1600, 1620, 1550, 1570, 1590, 1610, 1600];
const firedUm = [2, 4, 7.5].map((um, s) =>
  temperatures.map((t, i) => um * Math.exp(0.004 * (t - 1580) + 0.05 * Math.sin(2.7 * i + 0.4 * s))),
);
const milledUm = firedUm.map((sizes, s) =>
  sizes.map((um, i) => 0.7 * um ** 0.8 * Math.exp(0.04 * Math.cos(3.1 * i + 0.5 * s))),
);
const steps: readonly (StepRecord & { readonly at: readonly number[] })[] = [
  {
    beforeUm: null,
    afterUm: firedUm,
    settings: [{ name: "firing", values: temperatures, isWheelSpeed: false }],
    at: [1595],
  },
  { beforeUm: firedUm, afterUm: milledUm, settings: [], at: [] },
];
const chainLimits = [
  { low: 1.1, high: 1.4 },
  { low: 2, high: 2.4 },
  { low: 3.2, high: 4 },
];
const carried = chainOf(
  steps.flatMap((step) => stepLaw(step, step.at) ?? []),
  chainLimits,
  { level: 0.9, of: 1 },
);
const chain: Question = {
  what: "a lot fired and milled: both ends and median of D10, D50 and D90, chance that all are in band",
  call: "400,000 draws of numpy.random over grids of σ",
  tolerance: 0.01,
  asked: {
    ask: "chain",
    steps: steps.map(({ at, settings, ...step }) => ({
      ...step,
      settings: settings.map(({ values }, i) => ({ values, at: at[i] })),
    })),
    limits: chainLimits.map(({ low, high }) => [low, high]),
  },
  ours: [
    ...(carried.sizesUm.at(-1) ?? []).flatMap(({ low, median, high }) => [low, median, high]),
    carried.chance === null ? null : 1 + carried.chance,
  ],
};

const history = Array.from({ length: 24 }, (_, i) => 3 + 0.2 * Math.sin(4.1 * i * i) + (i > 14 ? 0.3 : 0));
const chart = driftOf(history);
const drift: Question = {
  what: "drift of 24 lots: mean moving range, weighted mean after each lot, correlation with the next past a step",
  call: "scipy.signal.lfilter, every step tried",
  tolerance: 1e-10,
  asked: { ask: "drift", values: history },
  ours: [
    chart?.sigma ?? null,
    ...(chart?.smoothed ?? []),
    correlationWithNext(withoutStep(Float64Array.from(history))),
  ],
};

const ordered = [5, 6, 8, 10].flatMap((runs) =>
  [0.3, 1, 3].map((noise) =>
    Array.from({ length: runs }, (_, i) => i + noise * runs * Math.sin(7.7 * i * runs)),
  ),
);
const trend: Question = {
  what: "chance of so good an order of five to ten runs",
  call: "scipy.stats.kendalltau, exact",
  tolerance: 1e-12,
  asked: { ask: "trend", runs: ordered },
  ours: ordered.map((runs) => chanceOfOrder(runs.length, Math.abs(kendallScore(runs)))),
};

const edgesUm = Array.from({ length: 61 }, (_, i) => 0.05 * 2000 ** (i / 60));
const undersizeOf = (medianUm: number, gsd: number) =>
  edgesUm.map((um, i) => (i === 60 ? 1 : i === 0 ? 0 : logNormal.cdf({ medianUm, gsd }, um)));
const runsOf = (medianUm: number, gsd: number, runs: number) =>
  Array.from({ length: runs }, (_, i) =>
    undersizeOf(medianUm * (1 + 0.01 * Math.sin(2.3 * i + medianUm)), gsd * (1 + 0.004 * Math.cos(3.7 * i))),
  );
const measured = (runs: readonly (readonly number[])[]) =>
  runs.map(
    (undersize, r): NamedMeasurement => ({
      file: null,
      name: `run ${r + 1}`,
      distribution: sizeDistribution({
        quantity: "volume",
        lowerUm: edgesUm.slice(0, -1),
        upperUm: edgesUm.slice(1),
        shares: undersize.slice(1).map((q, i) => q - (undersize[i] ?? Number.NaN)),
      }),
    }),
  );
const child = runsOf(3.4, 1.8, 4);
const two = [runsOf(2.6, 1.6, 3), runsOf(4.8, 1.7, 5)];
const shares = [0.55, 0.45];
const held = fromParents(
  measured(child),
  two.map((runs, i) => ({ runs: measured(runs), share: shares[i] ?? Number.NaN })),
  0.95,
);
const withEnds = ({ value, interval }: (typeof held)["meanShiftPercent"]) => [
  value,
  interval?.low ?? null,
  interval?.high ?? null,
];
const parents: Question = {
  what: "a blend against its two parents: D10, D50, D90 of the mix, shift of the mean size and ratios with their ends",
  call: "numpy.interp, scipy.stats.t.ppf",
  tolerance: 1e-7,
  asked: { ask: "parents", edgesUm, child, parents: two, shares },
  ours: [
    ...["10", "50", "90"].map((p) => held.predictedUm[p] ?? null),
    ...withEnds(held.meanShiftPercent),
    ...["10", "50", "90"].flatMap((p) => {
      const ratio = held.percentileRatios[p];
      return ratio === undefined ? [null, null, null] : withEnds(ratio);
    }),
  ],
};

export const ofLots: readonly Question[] = [...laws, chain, drift, trend, parents];
