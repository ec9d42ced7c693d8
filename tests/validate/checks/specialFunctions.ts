import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { tQuantile } from "#model/numbers/studentT.ts";
import { type CheckGroup, table } from "../check.ts";

const topic = "Special functions and quantiles";

const studentT: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "JCGM 100, table G.2",
    full: "JCGM 100:2008, Guide to the expression of uncertainty in measurement, table G.2 (Student's t).",
    reading: "from memory",
  },
  checks: () =>
    table<[number, number]>(
      [
        ["t, 95 %, 1 degree of freedom", "12.71", 0.975, 1],
        ["t, 95 %, 2", "4.30", 0.975, 2],
        ["t, 95 %, 3", "3.18", 0.975, 3],
        ["t, 95 %, 4", "2.78", 0.975, 4],
        ["t, 95 %, 5", "2.57", 0.975, 5],
        ["t, 95 %, 10", "2.23", 0.975, 10],
        ["t, 95 %, 20", "2.09", 0.975, 20],
        ["t, 99 %, 1", "63.66", 0.995, 1],
        ["t, 99 %, 2", "9.92", 0.995, 2],
        ["t, 99 %, 5", "4.03", 0.995, 5],
        ["t, 99 %, 10", "3.17", 0.995, 10],
      ],
      tQuantile,
    ),
};

const handbook = {
  short: "Abramowitz & Stegun",
  full: "M. Abramowitz and I. A. Stegun (eds), Handbook of Mathematical Functions, 1964, tables 6.1, 7.1 and 26.",
  reading: "from memory",
} as const;

const normal: CheckGroup = {
  topic,
  kind: "printed",
  source: handbook,
  checks: () => [
    ...table<[number]>(
      [
        ["normal quantile of 0.95", "1.6448536", 0.95],
        ["normal quantile of 0.975", "1.9599640", 0.975],
        ["normal quantile of 0.995", "2.5758293", 0.995],
        ["normal quantile of 0.9995", "3.2905267", 0.9995],
      ],
      normalDeviate,
    ),
    // erf z = 2Φ(z√2) − 1, erfc z = 2Φ(−z√2).
    ...table<[number]>(
      [
        ["erf 0.5", "0.5204998778", 0.5],
        ["erf 1", "0.8427007929", 1],
        ["erf 2", "0.9953222650", 2],
      ],
      (z) => 2 * normalForm.undersize(z * Math.SQRT2) - 1,
    ),
  ],
};

const gammaFunction: CheckGroup = {
  topic,
  kind: "printed",
  source: handbook,
  checks: () =>
    // The mean of a Rosin–Rammler powder of characteristic size 1 is Γ(1 + 1/n).
    table<[number]>(
      [
        ["Γ(1.5), as a mean size", "0.8862269255", 2],
        ["Γ(4/3), as a mean size", "0.8929795116", 3],
        ["Γ(1.25), as a mean size", "0.9064024771", 4],
      ],
      (spreadExponent) => rosinRammler.moment({ characteristicUm: 1, spreadExponent }, 1),
    ),
};

export const specialFunctions: readonly CheckGroup[] = [studentT, normal, gammaFunction];
