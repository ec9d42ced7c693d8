import { curveOf, sizeAt } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { convert } from "#distributions/moments.ts";
import { type Quantity, type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { type CheckGroup, table } from "../check.ts";
import { independentArithmetic } from "./independentArithmetic.ts";

const topic = "Log-normal means and changes of quantity";

const gsd = 2;
const lnSquare = Math.log(gsd) ** 2;
const volumeMedianOverNumberMedian = Math.exp(3 * lnSquare);
const raw = (k: number) => logNormal.moment({ medianUm: 1, gsd }, k) ?? Number.NaN;

/** D[p,q] of a log-normal powder whose number median is 1. */
const mean = (p: number, q: number) => (raw(p) / raw(q)) ** (1 / (p - q));

const encyclopedia = {
  short: "Aerosols, table 2",
  full: "Encyclopedia of Environmental Science and Engineering, 5th ed., article Aerosols, table 2, p. 17 (multiples of ln² GSD).",
  reading: "read",
} as const;

/** ln(D/median) over ln² GSD: the coefficient that the table prints. */
const coefficients: CheckGroup = {
  topic,
  kind: "printed",
  source: encyclopedia,
  checks: () => [
    ...table<[number, number]>(
      [
        ["number mean from number median, × ln² GSD", "0.5", 1, 0],
        ["length-weighted mean from number median", "1.5", 2, 1],
        ["Sauter mean from number median", "2.5", 3, 2],
        ["volume-weighted mean from number median", "3.5", 4, 3],
        ["diameter of average surface from number median", "1", 2, 0],
        ["diameter of average volume from number median", "1.5", 3, 0],
        ["harmonic mean from number median", "-0.5", 0, -1],
      ],
      (p, q) => Math.log(mean(p, q)) / lnSquare,
    ),
    ...table<[number, number]>(
      [
        ["number mean from volume median, × ln² GSD", "-2.5", 1, 0],
        ["length-weighted mean from volume median", "-1.5", 2, 1],
        ["Sauter mean from volume median", "-0.5", 3, 2],
        ["volume-weighted mean from volume median", "0.5", 4, 3],
        ["diameter of average surface from volume median", "-2", 2, 0],
        ["diameter of average volume from volume median", "-1.5", 3, 0],
        ["harmonic mean from volume median", "-3.5", 0, -1],
      ],
      (p, q) => Math.log(mean(p, q) / volumeMedianOverNumberMedian) / lnSquare,
    ),
    {
      quantity: "volume median from number median, by change of quantity",
      published: "3",
      ours: () => {
        const volume = convert(narrowClasses(1, gsd), "volume");
        const median = volume === null ? null : sizeAt(curveOf(volume), 0.5);
        return median === null ? null : Math.log(median) / lnSquare;
      },
    },
  ],
};

const sizes: CheckGroup = {
  topic,
  kind: "computed",
  source: encyclopedia,
  checks: () =>
    table<[number, number]>(
      [
        ["D[1,0], number median 1, GSD 2", "1.271537", 1, 0],
        ["D[2,1]", "2.055830", 2, 1],
        ["D[3,2]", "3.323879", 3, 2],
        ["D[4,3]", "5.374070", 4, 3],
        ["diameter of average surface", "1.616807", 2, 0],
        ["diameter of average volume", "2.055830", 3, 0],
        ["harmonic mean", "0.786450", 0, -1],
      ],
      mean,
    ),
};

/**
 * A log-normal number distribution cut into classes so narrow that the classes stand for the integral.
 * Shares above the median come from oversizes, whose tiny values keep their digits.
 */
function narrowClasses(medianUm: number, gsd: number): SizeDistribution {
  const p = { medianUm, gsd };
  const s = Math.log(gsd);
  const classes = 4000;
  const edges = Array.from(
    { length: classes + 1 },
    (_, i) => medianUm * Math.exp(s * (-6 + (i * (12 + 3 * s)) / classes)),
  );
  const lowerUm = edges.slice(0, -1);
  const upperUm = edges.slice(1);
  const shares = upperUm.map((x, i) => {
    const from = lowerUm[i] ?? 0;
    return x > medianUm
      ? logNormal.oversize(p, from) - logNormal.oversize(p, x)
      : logNormal.cdf(p, x) - logNormal.cdf(p, from);
  });
  const belowShare = logNormal.cdf(p, lowerUm[0] ?? 0);
  const aboveShare = logNormal.oversize(p, upperUm.at(-1) ?? 0);
  return sizeDistribution({ quantity: "number", lowerUm, upperUm, shares, belowShare, aboveShare });
}

/** Number median, log10 of GSD, and the medians by surface and by volume. */
const modelAerosols: readonly (readonly [string, number, number, string, string])[] = [
  ["urban 1", 0.013, 0.245, "0.024568", "0.033774"],
  ["urban 2", 0.014, 0.666, "1.5445", "16.222"],
  ["urban 3", 0.05, 0.337, "0.16671", "0.30442"],
  ["marine 1", 0.008, 0.657, "0.77787", "7.6704"],
  ["marine 2", 0.266, 0.21, "0.42459", "0.53643"],
  ["marine 3", 0.58, 0.396, "3.0591", "7.0255"],
  ["rural 1", 0.015, 0.225, "0.025658", "0.033558"],
  ["rural 2", 0.054, 0.557, "1.4492", "7.5079"],
  ["rural 3", 0.084, 0.266, "0.17788", "0.25885"],
  ["remote continental 1", 0.02, 0.161, "0.026327", "0.030205"],
  ["remote continental 2", 0.116, 0.217, "0.19112", "0.24532"],
  ["remote continental 3", 1.8, 0.38, "8.3226", "17.896"],
  ["free troposphere 1", 0.007, 0.645, "0.57672", "5.2348"],
  ["free troposphere 2", 0.25, 0.253, "0.49285", "0.69199"],
  ["free troposphere 3", 0.52, 0.425, "3.5303", "9.1985"],
  ["polar 1", 0.138, 0.164, "0.18354", "0.21168"],
  ["polar 2", 0.75, 0.521, "13.338", "56.248"],
  ["polar 3", 8.6, 0.42, "55.828", "142.24"],
  ["desert 1", 0.002, 0.247, "0.0038193", "0.0052779"],
  ["desert 2", 0.038, 0.77, "20.426", "473.58"],
  ["desert 3", 21.6, 0.438, "165.17", "456.74"],
];

/** The medians follow from the book's equations 8.40 and 8.49; here they come from shares converted class by class. */
const aerosols: CheckGroup = {
  topic,
  kind: "computed",
  source: {
    short: "Seinfeld & Pandis, table 8.3",
    full: "J. H. Seinfeld and S. N. Pandis, Atmospheric Chemistry and Physics, 2nd ed. 2006, table 8.3 (number medians and widths of seven model aerosols), seen as typed by others; medians by equations 8.40 and 8.49.",
    reading: "second-hand",
  },
  checks: () =>
    modelAerosols.flatMap(([name, medianUm, log10Gsd, surface, volume]) => {
      const median = (quantity: Quantity) => () => {
        const converted = convert(narrowClasses(medianUm, 10 ** log10Gsd), quantity);
        return converted === null ? null : sizeAt(curveOf(converted), 0.5);
      };
      const tolerance = { by: "ratio", atMost: 1e-4 } as const;
      return [
        { quantity: `${name}, surface median, µm`, published: surface, ours: median("surface"), tolerance },
        { quantity: `${name}, volume median, µm`, published: volume, ours: median("volume"), tolerance },
      ];
    }),
};

/** A milled powder: D50 3 µm and GSD 1.6 by volume. */
const milled: CheckGroup = {
  topic,
  kind: "computed",
  source: independentArithmetic,
  checks: () => {
    const byVolume = { medianUm: 3, gsd: 1.6 };
    const moment = (k: number) => logNormal.moment(byVolume, k) ?? Number.NaN;
    const shifted = (k: number) => ({ ...byVolume, medianUm: 3 * Math.exp(k * Math.log(1.6) ** 2) });
    return table<[() => number]>(
      [
        ["D50 3 µm, GSD 1.6: D10, µm", "1.643", () => logNormal.quantile(byVolume, 0.1)],
        ["D90, µm", "5.479", () => logNormal.quantile(byVolume, 0.9)],
        ["Sauter mean, µm", "2.686", () => 1 / moment(-1)],
        ["De Brouckere mean, µm", "3.350", () => moment(1)],
        ["area at 4.7 g/cm³, m²/g", "0.475", () => (6 * moment(-1)) / 4.7],
        ["below 1 µm by volume, %", "0.971", () => 100 * logNormal.cdf(byVolume, 1)],
        ["below 1 µm by surface, %", "3.09", () => 100 * logNormal.cdf(shifted(-1), 1)],
        ["below 1 µm by number, %", "17.7", () => 100 * logNormal.cdf(shifted(-3), 1)],
      ],
      (ours) => ours(),
    );
  },
};

export const logNormalMeans: readonly CheckGroup[] = [coefficients, sizes, milled, aerosols];
