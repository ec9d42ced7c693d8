import { logNormal } from "#distributions/families/logNormal.ts";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { tCdf, tQuantile } from "#model/numbers/studentT.ts";
import type { Question } from "./question.ts";

const exponents = [1.2, 1.5, 2, 2.7, 3.5];
const gsds = [1.2, 1.6, 2.5];
const someOrders = [-1, -0.5, 1, 2, 3];

const moments: readonly Question[] = [
  {
    what: "Rosin–Rammler moments",
    call: "scipy.special.gamma",
    tolerance: 1e-13,
    asked: { ask: "Rosin-Rammler moments", characteristicUm: 5, exponents, orders: someOrders },
    ours: exponents.flatMap((spreadExponent) =>
      someOrders.map((k) => rosinRammler.moment({ characteristicUm: 5, spreadExponent }, k)),
    ),
  },
  {
    what: "log-normal moments",
    call: "scipy.stats.lognorm.moment",
    tolerance: 1e-12,
    asked: { ask: "log-normal moments", medianUm: 3, gsds, orders: [1, 2, 3, 4] },
    ours: gsds.flatMap((gsd) => [1, 2, 3, 4].map((k) => logNormal.moment({ medianUm: 3, gsd }, k))),
  },
];

const degrees = [1, 2, 3, 5, 9, 20, 100];
const chances = [1e-6, 0.005, 0.025, 0.3, 0.5001, 0.8, 0.975, 0.99375];
const values = [-8, -2.3, -0.7, 0.1, 1.4, 4];
const erfcValues = [-3, -1, -0.1, 0.1, 0.5, 1, 2, 4, 6, 10];

const functions: readonly Question[] = [
  {
    what: "quantiles of Student's t",
    call: "scipy.stats.t.ppf",
    tolerance: 1e-9,
    asked: { ask: "t quantiles", degrees, fractions: chances },
    ours: degrees.flatMap((v) => chances.map((p) => tQuantile(p, v))),
  },
  {
    what: "chances under Student's t",
    call: "scipy.stats.t.cdf",
    tolerance: 1e-10,
    asked: { ask: "t chances", degrees, values },
    ours: degrees.flatMap((v) => values.map((x) => tCdf(x, v))),
  },
  {
    what: "normal quantiles",
    call: "scipy.special.ndtri",
    tolerance: 1e-13,
    asked: { ask: "normal quantiles", fractions: [1e-12, ...chances] },
    ours: [1e-12, ...chances].map(normalDeviate),
  },
  {
    what: "complementary error function",
    call: "scipy.special.erfc",
    tolerance: 1e-13,
    asked: { ask: "complementary error function", values: erfcValues },
    ours: erfcValues.map((x) => 2 * normalForm.undersize(-x * Math.SQRT2)),
  },
];

export const ofFunctions: readonly Question[] = [...moments, ...functions];
