import { roomiestShares } from "#model/compare/blendProgramme.ts";
import { budgetOf } from "#model/release/budget.ts";
import { releaseFigures } from "#model/release/release.ts";
import { beyondPairs } from "#model/surface/beyondPairs.ts";
import type { Question } from "./question.ts";

/** Twelve kept lots and one of today, three rows, two runs each; invented, the same each time. */
const lotAt = (i: number): number[][][] => {
  const at = (row: number) => 0.1 * Math.sin(3.7 * i + row) + 0.06 * Math.cos(1.9 * i);
  return [
    [0, 1].map((run) =>
      [0, 1, 2].map((row) => at(row) + 0.03 * Math.sin((11 * i + 5 * run + 1) * (row + 1))),
    ),
  ];
};
const kept = Array.from({ length: 12 }, (_, i) => lotAt(i + 1));
const today = lotAt(0);
const limits = [
  { low: -0.16, high: 0.2 },
  { low: null, high: 0.17 },
  { low: -0.05, high: 0.2 },
];
const found = releaseFigures({ lot: today, kept, limits });

const release: Question = {
  what: "release of a lot: three rows and all, from its runs and by its process, and both risks of three rules",
  call: "scipy.stats.multivariate_t.cdf, multivariate_normal draws",
  tolerance: 0.005,
  asked: { ask: "release", today: today[0], kept: kept.map((lot) => lot[0]), limits },
  ours: [
    ...(found?.fromRuns.rows ?? []),
    found?.fromRuns.all ?? null,
    ...(found?.asProcess?.rows ?? []),
    found?.asProcess?.all ?? null,
    ...(found?.risks ?? []).flatMap((r) => [1 + r.releasedThoughOut, 1 + r.heldThoughGood]),
  ],
};

const checked = {
  value: 0.47,
  run: { sdLn: 0.021, degrees: 14, runs: 3 },
  portion: { sdLn: 0.013, degrees: 6, portions: 2 },
  checks: [3.02, 3.05, 2.99, 3.08, 3.01].map((measured) => ({ measured, stated: 3, statedU: 0.02 })),
  opticalModel: 0.015,
  density: 0.004,
};
const whole = budgetOf({ measurand: "areaM2PerG", ...checked });

const budget: Question = {
  what: "uncertainty budget of an area: u, degrees, U, ends",
  call: "scipy.stats.t.ppf",
  tolerance: 1e-9,
  asked: { ask: "budget", ...checked },
  ours: whole === null ? [] : [whole.uLn, whole.degrees, whole.expandedLn, whole.low, whole.high],
};

const pairs = [
  [0.3, 0.384],
  [0.41, 0.5],
  [0.5, 0.65],
  [0.62, 0.77],
  [0.55, 0.69],
] as const;
const areaBeyond = 0.8;
const beyond = beyondPairs(
  pairs.map(([geometricM2PerG, betM2PerG]) => ({ stage: "", geometricM2PerG, betM2PerG })),
  areaBeyond,
);

const bet: Question = {
  what: "BET beyond its pairs: both ends of the union, chances below two values",
  call: "numpy.linalg.inv, scipy.stats.t",
  tolerance: 1e-9,
  asked: { ask: "BET beyond pairs", pairs, area: areaBeyond, values: [0.9, 1.1] },
  ours:
    beyond === null
      ? []
      : [beyond.quantile(0.025), beyond.quantile(0.975), beyond.below(0.9), beyond.below(1.1)],
};

/** Shares below four sizes of nine powders, and limits about a mix of some of them that hold it with room. */
const powderShares = Array.from({ length: 9 }, (_, k) =>
  [1, 2, 4, 8].map((x) => 1 / (1 + (1.2 * 1.3 ** k) ** 2.2 / x ** 2.2)),
);
const limitsAbout = [0, 1, 2, 3].map((i) => {
  const middle =
    0.3 * (powderShares[1]?.[i] ?? 0) +
    0.45 * (powderShares[4]?.[i] ?? 0) +
    0.25 * (powderShares[7]?.[i] ?? 0);
  return { low: middle - 0.01 * (i + 1), high: middle + 0.02 };
});
const roomiest = roomiestShares(
  powderShares.length,
  limitsAbout.flatMap(({ low, high }, i) => {
    const perShare = powderShares.map((shares) => shares[i] ?? 0);
    const width = (high - low) / 2;
    return [
      (room: number) => ({ perShare, atLeast: low + room * width }),
      (room: number) => ({ perShare: perShare.map((v) => -v), atLeast: -(high - room * width) }),
    ];
  }),
);

const blend: Question = {
  what: "the room of the best mix of nine powders, its limits' shares",
  call: "scipy.optimize.linprog",
  tolerance: 1e-6,
  asked: { ask: "blend", shares: powderShares, limits: limitsAbout },
  ours: [roomiest?.room ?? null],
};

export const ofChances: readonly Question[] = [release, budget, bet, blend];
