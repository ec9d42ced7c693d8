import { curveOf, sizeAt } from "#distributions/curve.ts";
import { distances } from "#distributions/distances.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { fitFamily } from "#model/fit/fitFamily.ts";
import { fitPoints } from "#model/fit/fitPoints.ts";
import { crossed, powders } from "./powders.ts";
import type { Question } from "./question.ts";

const fractions = [0.001, 0.01, 0.05, 0.1, 0.16, 0.25, 0.5, 0.75, 0.84, 0.9, 0.95, 0.97, 0.99, 0.999];

const percentiles = powders.flatMap(({ name, distribution }): Question[] => {
  const curve = curveOf(distribution);
  const even = curveOf(sizeDistribution({ ...distribution, inClass: "uniform" }));
  const { edgesUm, undersize } = curve;
  return [
    {
      what: `percentiles of ${name}`,
      call: "numpy.interp in ln x",
      tolerance: 1e-12,
      asked: { ask: "percentiles", fractions, edgesUm, undersize },
      ours: fractions.map((p) => sizeAt(curve, p)),
    },
    {
      what: `percentiles of ${name}, straight in x`,
      call: "numpy.interp in x",
      tolerance: 1e-12,
      asked: { ask: "percentiles in x", fractions, edgesUm, undersize },
      ours: fractions.map((p) => sizeAt(even, p)),
    },
  ];
});

const fits = powders.flatMap((powder): Question[] => {
  const { sizesUm: edgesUm, shares: undersize } = fitPoints(powder.distribution, "edges");
  const d50Um = sizeAt(curveOf(powder.distribution), 0.5) ?? 1;
  const normal = fitFamily(powder, "log-normal");
  const rosin = fitFamily(powder, "rosin-rammler");
  const call = "scipy.optimize.curve_fit";
  const what = "parameters and curvature errors of";
  return [
    {
      what: `log-normal ${what} ${powder.name}`,
      call,
      tolerance: 1e-6,
      asked: { ask: "log-normal fit", edgesUm, undersize, start: [1.5 * d50Um, 1.5] },
      ours:
        normal?.family === "log-normal"
          ? [
              normal.parameters.medianUm,
              normal.parameters.gsd,
              normal.standardErrors["medianUm"] ?? null,
              normal.standardErrors["gsd"] ?? null,
            ]
          : [],
    },
    {
      what: `Rosin–Rammler ${what} ${powder.name}`,
      call,
      tolerance: 1e-6,
      asked: { ask: "Rosin-Rammler fit", edgesUm, undersize, start: [1.5 * d50Um, 1.5] },
      ours:
        rosin?.family === "rosin-rammler"
          ? [
              rosin.parameters.characteristicUm,
              rosin.parameters.spreadExponent,
              rosin.standardErrors["characteristicUm"] ?? null,
              rosin.standardErrors["spreadExponent"] ?? null,
            ]
          : [],
    },
  ];
});

const wasserstein = crossed.map(([first, second]): Question => {
  const a = curveOf(first.distribution);
  const b = curveOf(second.distribution);
  return {
    what: `Wasserstein distance in ln x, ${first.name} to ${second.name}`,
    call: "scipy.stats.wasserstein_distance, 400 points a class",
    tolerance: 1e-5,
    asked: {
      ask: "Wasserstein distance",
      firstEdgesUm: a.edgesUm,
      firstUndersize: a.undersize,
      secondEdgesUm: b.edgesUm,
      secondUndersize: b.undersize,
    },
    ours: [distances(a, b).wassersteinLn],
  };
});

export const ofCurves: readonly Question[] = [...percentiles, ...fits, ...wasserstein];
