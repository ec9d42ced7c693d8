import { linearRegression, linearRegressionLine, rSquared } from "simple-statistics";
import { gatesGaudinSchuhmann } from "#distributions/families/gatesGaudinSchuhmann.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { type Check, type CheckGroup, table } from "../check.ts";

const topic = "Rosin–Rammler and Gates–Gaudin–Schuhmann";

const spray = {
  short: "Lefebvre, chapter 3",
  full: "A. H. Lefebvre, Atomization and Sprays, 1989, chapter 3 (relations between the sizes of a Rosin–Rammler spray).",
  reading: "from memory",
} as const;

/** (D_q/D_50)^n, which does not depend on the spread exponent. */
const powerOfRatio = (fraction: number) => {
  const p = { characteristicUm: 1, spreadExponent: 2 };
  return (rosinRammler.quantile(p, fraction) / rosinRammler.quantile(p, 0.5)) ** p.spreadExponent;
};

const constants: CheckGroup = {
  topic,
  kind: "printed",
  source: spray,
  checks: () =>
    table<[() => number]>(
      [
        [
          "(D50/x′)^n",
          "0.693",
          () => rosinRammler.quantile({ characteristicUm: 1, spreadExponent: 2 }, 0.5) ** 2,
        ],
        ["(D10/D50)^n", "0.152", () => powerOfRatio(0.1)],
        ["(D90/D50)^n", "3.32", () => powerOfRatio(0.9)],
        ["(D99.9/D50)^n", "9.968", () => powerOfRatio(0.999)],
        [
          "1/(D50/x′)^n",
          "1.4427",
          () => 1 / rosinRammler.quantile({ characteristicUm: 1, spreadExponent: 1 }, 0.5),
        ],
      ],
      (ours) => ours(),
      undefined,
      {
        "(D99.9/D50)^n":
          "ln 1000/ln 2 is 9.9658; the remembered figure carries a rounding of its own, or was remembered wrongly.",
      },
    ),
};

const bySpreadExponent: CheckGroup = {
  topic,
  kind: "computed",
  source: spray,
  checks: () => {
    const rows: [number, string, string, string][] = [
      [1.2, "0.7368", "4.1013", "2.5114"],
      [1.5, "0.7832", "2.0982", "1.9415"],
      [2, "0.8326", "1.4757", "1.4327"],
      [2.5, "0.8636", "1.2861", "1.1457"],
      [3, "0.8850", "1.1984", "0.9584"],
      [4, "0.9124", "1.1181", "0.7256"],
    ];
    return rows.flatMap(([n, overX, overSauter, span]): Check[] => {
      const p = { characteristicUm: 1, spreadExponent: n };
      const at = (fraction: number) => rosinRammler.quantile(p, fraction);
      const inverse = rosinRammler.moment(p, -1) ?? Number.NaN;
      return [
        { quantity: `n ${n}: D50/x′`, published: overX, ours: () => at(0.5) },
        { quantity: `n ${n}: D50/D[3,2]`, published: overSauter, ours: () => at(0.5) * inverse },
        { quantity: `n ${n}: span`, published: span, ours: () => (at(0.9) - at(0.1)) / at(0.5) },
      ];
    });
  },
};

const coal: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "Thakur, table 8.4",
    full: "P. Thakur, Advanced Mine Ventilation, 2019, table 8.4, p. 115 (coal below 37 µm).",
    reading: "read",
  },
  checks: () =>
    table<[number, number]>(
      [
        ["undersize at k = 19 µm, n 0.76 (anthracite), %", "63.21", 19, 0.76],
        ["undersize at k = 15.5 µm, n 0.84 (low-volatile), %", "63.21", 15.5, 0.84],
        ["undersize at k = 15 µm, n 1.17 (high-volatile), %", "63.21", 15, 1.17],
      ],
      (k, n) => 100 * rosinRammler.cdf({ characteristicUm: k, spreadExponent: n }, k),
    ),
};

/** Aperture µm, retained %, printed ln ln(100/R), printed value of the line, printed retained % of the line. */
const sheet: readonly (readonly [number, number, string, string, string])[] = [
  [600, 0.1, "1.93", "1.9", "0.1"],
  [425, 0.7, "1.60", "1.6", "0.7"],
  [300, 3.0, "1.25", "1.3", "2.6"],
  [212, 8.1, "0.92", "1.0", "6.6"],
  [150, 12.3, "0.74", "0.7", "13.4"],
  [106, 21.7, "0.42", "0.4", "22.5"],
  [75, 30.5, "0.17", "0.1", "33.1"],
  [53, 44.6, "-0.21", "-0.2", "44.1"],
  [45, 50.5, "-0.38", "-0.34", "49.1"],
  [38, 54.2, "-0.49", "-0.49", "54.1"],
];

const netPoints = sheet.map(([um, retained]): [number, number] => [
  Math.log(um),
  Math.log(-Math.log(retained / 100)),
]);
const line = linearRegression(netPoints);
const fitted = rosinRammler.free.fromFree([-line.b / line.m, -Math.log(line.m)]);

const sieveSheet: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "sieve calculation sheets",
    full: "A consultant's calculation sheets of 2012 and 2017 on a document-sharing site: a sieve analysis on the Rosin–Rammler net.",
    reading: "read",
  },
  checks: () => [
    { quantity: "spread exponent n", published: "0.8645408", ours: () => fitted.spreadExponent },
    { quantity: "intercept", published: "-3.632837", ours: () => line.b },
    { quantity: "1/x′, 1/µm", published: "0.014965", ours: () => 1 / fitted.characteristicUm },
    {
      quantity: "R² (the sheet calls it R)",
      published: "0.9971",
      ours: () => rSquared(netPoints, linearRegressionLine(line)),
    },
    ...sheet.map(
      ([um, , net], i): Check => ({
        quantity: `net value at ${um} µm`,
        published: net,
        ours: () => netPoints[i]?.[1] ?? null,
      }),
    ),
    ...sheet.map(
      ([um, , , , retained]): Check => ({
        quantity: `retained by the line at ${um} µm, %`,
        published: retained,
        ours: () => 100 * rosinRammler.oversize(fitted, um),
      }),
    ),
  ],
};

const phosphate: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "mineral-engineering page, sieve analysis",
    full: "A mineral-engineering encyclopedia page on sieve analysis: phosphate ore, D80 by the Gates–Gaudin–Schuhmann line.",
    reading: "read",
  },
  checks: () => {
    const passing: [number, number][] = [
      [125, 62.8],
      [106, 55.6],
      [75, 37.3],
      [53, 35.0],
      [38, 27.1],
    ];
    const ggs = linearRegression(passing.map(([um, percent]) => [Math.log(um), Math.log(percent / 100)]));
    return [
      {
        quantity: "D80, µm",
        published: "187.19",
        ours: () => gatesGaudinSchuhmann.quantile({ topUm: Math.exp(-ggs.b / ggs.m), exponent: ggs.m }, 0.8),
      },
    ];
  },
};

export const rosinRammlerLines: readonly CheckGroup[] = [
  constants,
  bySpreadExponent,
  coal,
  sieveSheet,
  phosphate,
];
