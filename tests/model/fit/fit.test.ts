import { describe, expect, test } from "vitest";
import { type FittedCurve, verbsOf } from "#distributions/families/fittedCurve.ts";
import { logLogistic } from "#distributions/families/logLogistic.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { parametersOf } from "#distributions/families/parameters.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { fitFamily } from "#model/fit/fitFamily.ts";
import { fitPoints } from "#model/fit/fitPoints.ts";
import { leastSquares } from "#model/fit/leastSquares.ts";
import { centred, newtonFit } from "#model/fit/newton.ts";

test("Rosin–Rammler beats log-normal on SRM 114q portland cement (NIST SP 260-166 table 8, read second-hand), and both converge", () => {
  const table =
    "size_um,undersize by mass as fraction\n1,0.051\n1.5,0.08\n2,0.112\n3,0.163\n4,0.21\n6,0.296\n8,0.376\n12,0.51\n16,0.628\n24,0.808\n32,0.912\n48,0.984\n64,0.997\n96,0.999\n128,0.999\n";
  const { measurements, problems } = readTable(table, "cement.csv", {});
  expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
  const { fits, sentence } = fitAnswer(measurements, { families: ["log-normal", "rosin-rammler"] });
  const [normal, rosin] = fits;
  expect(fits.map((f) => f.status)).toEqual(["converged", "converged"]);
  expect(rosin?.rmsPoints ?? 9).toBeLessThan(normal?.rmsPoints ?? 0);
  expect(sentence).toMatch(/Rosin–Rammler curve describes the powder better/);
});

const edges = Array.from({ length: 101 }, (_, i) => 0.02 * 1e5 ** (i / 100));
function made(cdf: (x: number) => number, name = "made"): NamedMeasurement {
  return {
    file: null,
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: edges.slice(1).map((x, i) => Math.max(0, cdf(x) - cdf(edges[i] ?? 0))),
      belowShare: cdf(edges[0] ?? 0),
      aboveShare: Math.max(0, 1 - cdf(edges.at(-1) ?? 1)),
    }),
  };
}

const truths: readonly FittedCurve[] = [
  { family: "log-normal", parameters: { medianUm: 3, gsd: 1.6 } },
  { family: "rosin-rammler", parameters: { characteristicUm: 6, spreadExponent: 2.2 } },
  { family: "gates-gaudin-schuhmann", parameters: { topUm: 9, exponent: 1.4 } },
  { family: "log-logistic", parameters: { medianUm: 3, exponent: 3.4 } },
  { family: "upper-limit-log-normal", parameters: { topUm: 14, transformedMedian: 0.3, logSd: 0.7 } },
  {
    family: "mixture",
    parameters: {
      components: [
        { weight: 0.2, medianUm: 0.8, gsd: 1.5 },
        { weight: 0.8, medianUm: 3.1, gsd: 1.6 },
      ],
    },
  },
];

test.each(truths)("a fit recovers the $family it was made from to 1e-7", (truth) => {
  const fit = fitFamily(made(verbsOf(truth).undersize), truth.family);
  expect(fit?.status).toBe("converged");
  const found = fit === null ? [] : parametersOf(fit);
  for (const [i, { name, value }] of parametersOf(truth).entries()) {
    expect(found[i]?.name).toBe(name);
    expect(Math.abs((found[i]?.value ?? 0) / value - 1)).toBeLessThan(1e-7);
  }
});

test("a mixture of three is recovered too, sorted by median", () => {
  const truth = {
    family: "mixture" as const,
    parameters: {
      components: [
        { weight: 0.15, medianUm: 0.5, gsd: 1.4 },
        { weight: 0.6, medianUm: 3, gsd: 1.5 },
        { weight: 0.25, medianUm: 20, gsd: 1.4 },
      ],
    },
  };
  const fit = fitFamily(made(verbsOf(truth).undersize), "mixture", { components: 3 });
  const found = fit === null ? [] : parametersOf(fit);
  for (const [i, { value }] of parametersOf(truth).entries())
    expect(Math.abs((found[i]?.value ?? 0) / value - 1)).toBeLessThan(1e-6);
});

describe("the closed Newton of the hot path and the general engine reach the same optimum within 1e-9", () => {
  // Bent on purpose, so that no curve passes through every point.
  const bent = made(
    (x) =>
      0.9 * logNormal.cdf({ medianUm: 3, gsd: 1.7 }, x) +
      0.1 * rosinRammler.cdf({ characteristicUm: 20, spreadExponent: 4 }, x),
  );
  const points = fitPoints(bent.distribution, "edges");
  const lns = points.sizesUm.map(Math.log);
  test.each(
    [logNormal, rosinRammler, logLogistic].map(
      (f) => [f.name, f.form, f.free.undersize, f.free.slopes] as const,
    ),
  )("%s", (_, form, value, slopes) => {
    const start: [number, number] = [Math.log(4), -0.5];
    const newton = newtonFit(form, centred(lns), points.shares, start);
    const engine = leastSquares(
      {
        model: { value, slopes },
        xs: lns,
        ys: points.shares,
        bounds: { lowest: [-20, -9], highest: [20, 4] },
      },
      start,
    );
    expect(newton?.status).toBe("converged");
    expect(engine.status).toBe("converged");
    for (const [i, v] of engine.parameters.entries())
      expect(Math.abs((newton?.parameters[i] ?? 9) - v)).toBeLessThan(1e-9);
    const ratio = (newton?.covariance?.[1]?.[1] ?? 0) / (engine.covariance?.[1]?.[1] ?? 1);
    expect(Math.abs(ratio - 1)).toBeLessThan(1e-6);
  });
});

describe("what a fit says of itself", () => {
  test("a powder without an upper limit puts the upper-limit family at its bound, without errors", () => {
    const fit = fitFamily(
      made((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x)),
      "upper-limit-log-normal",
    );
    expect(fit?.status).toBe("at bound");
    expect(fit?.warnings.join(" ")).toMatch(/end of its range/);
    expect(Object.values(fit?.standardErrors ?? { a: 1 })).toEqual([null, null, null]);
  });
  test("all points hold the flat ends too, classes hold the class shares", () => {
    const one = made((x) => rosinRammler.cdf({ characteristicUm: 6, spreadExponent: 2.2 }, x));
    const shifted = { ...one, distribution: one.distribution };
    expect(fitFamily(shifted, "rosin-rammler", { points: "all" })?.edges).toBe(101);
    const classes = fitFamily(shifted, "rosin-rammler", { points: "classes" });
    expect(classes?.edges).toBe(100);
    expect(classes?.family === "rosin-rammler" ? classes.parameters.spreadExponent : 0).toBeCloseTo(2.2, 7);
  });
  test("two families nearer than the noise between runs cannot be told apart", () => {
    const runs = [2.9, 3, 3.1].map((m, i) =>
      made((x) => logNormal.cdf({ medianUm: m, gsd: 1.3 }, x), `run ${i + 1}`),
    );
    const { sentence, ranking } = fitAnswer(runs, { families: ["log-normal", "log-logistic"] });
    expect(sentence).toMatch(/not distinguishable/);
    expect(ranking.map((r) => r.isToldApart)).toEqual([false, false]);
  });
  test("a number basis of a Rosin–Rammler with n ≤ 3 and an area with n ≤ 1 are refused with the remedy", () => {
    const { fits, problems } = fitAnswer(
      [made((x) => rosinRammler.cdf({ characteristicUm: 6, spreadExponent: 0.9 }, x))],
      {
        families: ["rosin-rammler"],
        as: "number",
        densityGPerCm3: 4.55,
      },
    );
    const [fit] = fits;
    expect(fit?.derived.percentilesUm["50"]).toBeNull();
    expect(fit?.derived.surfaceM2PerG).toBeNull();
    expect(fit?.derived.meansUm["1,0"]).toBeNull();
    expect(problems.map((p) => p.message).join(" ")).toMatch(/must exceed 3; use the measured classes/);
    expect(problems.map((p) => p.message).join(" ")).toMatch(
      /The area cannot be calculated: .* must exceed 1/,
    );
  });
  test("intervals need three runs, and cover what the runs say", () => {
    const run = (m: number, i: number) =>
      made((x) => logNormal.cdf({ medianUm: m, gsd: 1.6 }, x), `run ${i}`);
    const one = fitAnswer([run(3, 1)], { families: ["log-normal"] });
    expect(one.overRuns[0]?.parameters["medianUm"]?.low).toBeNull();
    const three = fitAnswer([run(2.9, 1), run(3, 2), run(3.1, 3)], { families: ["log-normal"] });
    const median = three.overRuns[0]?.parameters["medianUm"];
    // Worked by hand: ln of 2.9, 3, 3.1 has mean 1.0982415 and SD 0.0333466; t(0.975; 2) = 4.3026527 (tables).
    expect(median?.value).toBeCloseTo(Math.exp(1.0982415), 5);
    expect(median?.high).toBeCloseTo(Math.exp(1.0982415 + (4.3026527 * 0.0333466) / Math.sqrt(3)), 4);
  });
});

describe("second humps (docs/science.md)", () => {
  const truth = (x: number, m: number) =>
    0.3 * logNormal.cdf({ medianUm: 0.8 * m, gsd: 1.35 }, x) +
    0.7 * logNormal.cdf({ medianUm: 4 * m, gsd: 1.4 }, x);
  const runs = [0.99, 1, 1.01].map((m, i) => made((x) => truth(x, m), `run ${i + 1}`));
  test("claimed when every one of three runs shows it, possible with two", () => {
    const three = fitAnswer(runs).humps;
    expect(three?.verdict).toBe("second hump");
    expect(three?.atUm[0]).toBeCloseTo(0.8, 1);
    expect(three?.atUm[1]).toBeCloseTo(4, 1);
    expect(three?.smallerShare).toBeCloseTo(0.3, 2);
    expect(fitAnswer(runs.slice(0, 2)).humps?.verdict).toBe("possible second hump");
  });
  test("not claimed of a broad tail", () => {
    const tail = [0.99, 1, 1.01].map((m, i) =>
      made(
        (x) =>
          0.9 * logNormal.cdf({ medianUm: 3 * m, gsd: 1.6 }, x) +
          0.1 * logNormal.cdf({ medianUm: 1.5 * m, gsd: 2 }, x),
        `run ${i + 1}`,
      ),
    );
    expect(fitAnswer(tail).humps?.verdict).toBe("one hump");
  });
});
