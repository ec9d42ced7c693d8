import { itemAt } from "#distributions/lists.ts";
import { combined } from "#model/release/budget.ts";
import { type LotPortions, lotMean, type PooledScatter, pooledScatter } from "#model/release/scatter.ts";
import { type CheckGroup, table } from "../check.ts";

const topic = "Uncertainty budgets";

const guide = (clause: string) => ({
  short: `JCGM 100, ${clause}`,
  full: `JCGM 100:2008, Guide to the expression of uncertainty in measurement, annex ${clause}; its numbers from memory, and worked out once more beside this code.`,
  reading: "from memory" as const,
});

/** H.1: four sources in nm with their degrees of freedom, first order. */
const endGauge: CheckGroup = {
  topic,
  kind: "printed",
  source: guide("H.1 (end gauge)"),
  checks: () => {
    const { uLn, degrees, coverageFactor, expandedLn } = combined(
      [
        { uLn: 25, degrees: 18 },
        { uLn: 9.7, degrees: 25.6 },
        { uLn: 2.9, degrees: 50 },
        { uLn: 16.6, degrees: 2 },
      ],
      0.99,
    );
    return table<[number | null]>(
      [
        ["combined standard uncertainty, nm", "32", uLn],
        ["effective degrees of freedom", "16", degrees],
        ["t for 99 %", "2.92", coverageFactor],
        ["expanded uncertainty of 99 %, nm", "93", expandedLn],
      ],
      (found) => found ?? Number.NaN,
    );
  },
};

const rootOf = (matrix: readonly (readonly number[])[], i = 0) => Math.sqrt(itemAt(itemAt(matrix, i), i));

/** H.2: voltage in V, current in mA and phase in rad, five times, all three at once. */
const together = [
  [5.007, 19.663, 1.0456],
  [4.994, 19.639, 1.0438],
  [5.005, 19.64, 1.0468],
  [4.99, 19.685, 1.0428],
  [4.999, 19.678, 1.0433],
] as const;

const impedance: CheckGroup = {
  topic,
  kind: "printed",
  source: guide("H.2 (resistance and reactance)"),
  checks: () => {
    const runs = together.map(([volt, milliampere, phase]) => {
      const ohm = (1000 * volt) / milliampere;
      return [ohm * Math.cos(phase), ohm * Math.sin(phase), ohm];
    });
    const { mean, covariance } = measured([runs]);
    const r = (a: number, b: number) =>
      itemAt(itemAt(covariance, a), b) / (rootOf(covariance, a) * rootOf(covariance, b));
    return table<[number]>(
      [
        ["resistance, Ω", "127.732", itemAt(mean, 0)],
        ["reactance, Ω", "219.847", itemAt(mean, 1)],
        ["impedance, Ω", "254.260", itemAt(mean, 2)],
        ["standard uncertainty of resistance, Ω", "0.071", rootOf(covariance, 0)],
        ["standard uncertainty of reactance, Ω", "0.295", rootOf(covariance, 1)],
        ["standard uncertainty of impedance, Ω", "0.236", rootOf(covariance, 2)],
        ["correlation of resistance and reactance", "-0.588", r(0, 1)],
        ["correlation of resistance and impedance", "-0.485", r(0, 2)],
        ["correlation of reactance and impedance", "0.993", r(1, 2)],
      ],
      (found) => found,
    );
  },
};

/** H.5: ten days' means of five, in µV above 10 V, and the standard deviations within each day. */
const days: readonly (readonly [mean: number, sd: number])[] = [
  [172, 60],
  [116, 77],
  [13, 111],
  [144, 101],
  [106, 67],
  [31, 93],
  [60, 80],
  [125, 73],
  [163, 88],
  [41, 86],
];
/** Five values of mean 0 and standard deviation 1, which stand in for a day's: only its mean and spread are printed. */
const pattern = [-1, -1, 0, 1, 1];

const zener: CheckGroup = {
  topic,
  kind: "printed",
  source: guide("H.5 (analysis of variance)"),
  checks: () => {
    const lot = days.map(([mean, sd]) => pattern.map((v) => [mean + sd * v]));
    const { mean, covariance, degrees, scatter } = measured(lot);
    const { run, portion } = scatter;
    if (portion?.from !== "portions") throw new Error("ten days are given");
    const ofMean = rootOf(portion.ofMean);
    return table<[number]>(
      [
        ["mean of all, µV above 10 V", "97", itemAt(mean, 0)],
        ["spread within a day, µV", "85", rootOf(run)],
        ["spread of the days' means, µV", "57", ofMean],
        ["the same, of single values, µV", "128", ofMean * Math.sqrt(5)],
        ["between days alone, µV", "43", Math.sqrt(ofMean ** 2 - rootOf(run) ** 2 / 5)],
        ["standard uncertainty of the mean, µV", "18", rootOf(covariance)],
        ["its degrees of freedom", "9", degrees],
      ],
      (found) => found,
    );
  },
};

function measured(lot: LotPortions): ReturnType<typeof lotMean> & { readonly scatter: PooledScatter } {
  const scatter = pooledScatter([lot]);
  if (scatter === null) throw new Error("repeated values are given");
  return { ...lotMean(lot, scatter), scatter };
}

export const budgets: readonly CheckGroup[] = [endGauge, impedance, zener];
