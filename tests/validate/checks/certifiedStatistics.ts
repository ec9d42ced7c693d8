import { readFileSync } from "node:fs";
import { join } from "node:path";
import { linearRegression, mean, sampleStandardDeviation } from "simple-statistics";
import type { CurveModel } from "#model/fit/curveModel.ts";
import { leastSquares } from "#model/fit/leastSquares.ts";
import { lineThrough } from "#model/numbers/line.ts";
import type { Check, CheckGroup } from "../check.ts";
import { significantDigits } from "../outcome.ts";
import { readNumbers, readRows } from "../readFile.ts";

const topic = "Means, spreads and straight lines";

/** The package that takes means and standard deviations of runs, on the nine univariate sets. */
const univariate: CheckGroup = {
  topic,
  kind: "printed",
  needs: "strd/univariate",
  source: {
    short: "NIST StRD, univariate",
    full: "NIST Statistical Reference Datasets, univariate summary statistics: nine sets, certified to 15 digits. Their numbers were taken from the test of a general-purpose numerical library.",
    reading: "second-hand",
  },
  checks: (folder) =>
    readRows(join(folder, "certified.csv")).flatMap((row): Check[] => {
      const values = readNumbers(join(folder, `${row["dataset"]}.csv`)).map(([y = Number.NaN]) => y);
      const name = `${row["dataset"]}, ${values.length} values`;
      return [
        {
          quantity: `mean of ${name}`,
          published: inFull(row["certified_mean"]),
          ours: () => mean(values),
          tolerance: { by: "leading digits", atLeast: 13 },
        },
        {
          quantity: `standard deviation of ${name}`,
          published: inFull(row["certified_sd_n_minus_1"]),
          ours: () => sampleStandardDeviation(values),
          tolerance: { by: "leading digits", atLeast: 8 },
        },
      ];
    }),
};

/** A value certified as exact, with the fifteen digits of the others. */
function inFull(certified = ""): string {
  return significantDigits(certified) < 10 ? Number(certified).toPrecision(15) : certified;
}

const straightLine: CurveModel = {
  value:
    ([intercept = 0, slope = 0]) =>
    (x) =>
      intercept + slope * x,
  slopes: () => (x) => [1, x],
};

/** The least squares that fits curves to powders, on a straight line. */
const norris: CheckGroup = {
  topic,
  kind: "printed",
  needs: "strd/Norris.dat",
  source: {
    short: "NIST StRD, Norris",
    full: "NIST Statistical Reference Datasets, linear regression: Norris, calibration of ozone monitors.",
    reading: "read",
  },
  checks: (path) => {
    const text = readFileSync(path, "utf8");
    const after = (words: string, column = 0) => {
      const figure = /-?\d+\.\d+(?:E[-+]\d+)?/g;
      const isTheLine = (l: string) => l.trim().startsWith(words) && l.replace(words, "").search(figure) >= 0;
      const line = text.split("\n").find(isTheLine) ?? "";
      return line.replace(words, "").match(figure)?.[column] ?? "";
    };
    const points = readNumbers(path).filter((row) => row.length === 2);
    const xs = points.map(([, x = 0]) => x);
    const ys = points.map(([y = 0]) => y);
    const net = linearRegression(points.map(([y = 0, x = 0]) => [x, y]));
    const limits = { lowest: [-1e6, -1e6], highest: [1e6, 1e6] };
    const found = leastSquares({ model: straightLine, xs, ys, bounds: limits }, [0, 1]);
    const of = (quantity: string, published: string, ours: () => number, atLeast: number): Check => ({
      quantity,
      published,
      ours,
      tolerance: { by: "leading digits", atLeast },
    });
    const line = lineThrough(xs, ys, 0.95);
    const error = (i: number) => Math.sqrt(found.covariance?.[i]?.[i] ?? Number.NaN);
    return [
      of(
        "intercept, by the least squares of the fits",
        after("B0"),
        () => found.parameters[0] ?? Number.NaN,
        9,
      ),
      of("slope, by the least squares of the fits", after("B1"), () => found.parameters[1] ?? Number.NaN, 9),
      of("intercept, by the regression package", after("B0"), () => net.b, 9),
      of("slope, by the regression package", after("B1"), () => net.m, 9),
      of("slope, by the line through results", after("B1"), () => line?.slope ?? Number.NaN, 9),
      of("intercept, by the line through results", after("B0"), () => line?.intercept ?? Number.NaN, 9),
      of("its standard error of the slope", after("B1", 1), () => line?.slopeError ?? Number.NaN, 9),
      of("its standard error of the intercept", after("B0", 1), () => line?.interceptError ?? Number.NaN, 9),
      of("standard error of the intercept", after("B0", 1), () => error(0), 9),
      of("standard error of the slope", after("B1", 1), () => error(1), 9),
      of(
        "residual standard deviation",
        after("Standard Deviation"),
        () => Math.sqrt(found.sumOfSquares / (xs.length - 2)),
        9,
      ),
    ];
  },
};

export const certifiedStatistics: readonly CheckGroup[] = [univariate, norris];
