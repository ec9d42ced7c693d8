import { describe, expect, test } from "vitest";
import { curveOf } from "#distributions/curve.ts";
import type { FamilyName } from "#distributions/families/family.ts";
import { gatesGaudinSchuhmann } from "#distributions/families/gatesGaudinSchuhmann.ts";
import { logLogistic } from "#distributions/families/logLogistic.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { mixture } from "#distributions/families/mixture.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { upperLimitLogNormal } from "#distributions/families/upperLimit.ts";
import { convert, geometricSurface, meanDiameterUm } from "#distributions/moments.ts";
import {
  type NamedMeasurement,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { derivedFrom } from "#model/fit/derived.ts";
import { type FamilyFit, fitFamily, minEdges } from "#model/fit/fitFamily.ts";
import { fitPoints } from "#model/fit/fitPoints.ts";
import { noisePoints } from "#model/fit/noise.ts";
import { rankingOf } from "#model/fit/ranking.ts";
import { mixtureStarts, shapeOf } from "#model/fit/startShape.ts";
import { humpsOf } from "#model/lot/humps.ts";
import { overRuns, pooledSpread } from "#model/lot/overRuns.ts";

const edges = Array.from({ length: 61 }, (_, i) => 0.05 * 4000 ** (i / 60));
function made(cdf: (x: number) => number, name = "made", at: readonly number[] = edges): NamedMeasurement {
  const q = at.map(cdf);
  return {
    file: "made.csv",
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: at.slice(0, -1),
      upperUm: at.slice(1),
      shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
      belowShare: q[0] ?? 0,
      aboveShare: Math.max(0, 1 - (q.at(-1) ?? 1)),
    }),
  };
}
const two = {
  components: [
    { weight: 0.3, medianUm: 0.8, gsd: 1.4 },
    { weight: 0.7, medianUm: 5, gsd: 1.6 },
  ],
};
const fitOf = (one: NamedMeasurement, family: FamilyName, options = {}): FamilyFit => {
  const fit = fitFamily(one, family, options);
  if (fit === null) throw new Error("it can be fitted");
  return fit;
};

describe("every family recovers the curve it was made from", () => {
  const top = { topUm: 9, exponent: 1.7 };
  const logistic = { medianUm: 3, exponent: 4.1 };
  const limit = { topUm: 30, transformedMedian: 0.2, logSd: 0.8 };
  const known: readonly [FamilyName, (x: number) => number, unknown][] = [
    ["log-normal", (x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x), { medianUm: 3, gsd: 1.6 }],
    [
      "rosin-rammler",
      (x) => rosinRammler.cdf({ characteristicUm: 6, spreadExponent: 2.2 }, x),
      { characteristicUm: 6, spreadExponent: 2.2 },
    ],
    ["gates-gaudin-schuhmann", (x) => gatesGaudinSchuhmann.cdf(top, x), top],
    ["log-logistic", (x) => logLogistic.cdf(logistic, x), logistic],
    ["upper-limit-log-normal", (x) => upperLimitLogNormal.cdf(limit, x), limit],
    ["mixture", (x) => mixture.cdf(two, x), two],
  ];
  test.each(known)("%s", (family, cdf, parameters) => {
    const fit = fitOf(made(cdf), family);
    expect(fit.status).toBe("converged");
    expect(fit.rmsPoints).toBeLessThan(1e-5);
    expect(fit.maxGapPoints).toBeLessThan(1e-4);
    const near = (found: unknown, wanted: unknown): void => {
      if (typeof found === "number" && typeof wanted === "number") expect(found / wanted).toBeCloseTo(1, 5);
      else if (typeof found === "object" && found !== null && typeof wanted === "object" && wanted !== null) {
        const all = Object.entries(wanted);
        expect(Object.keys(found).length).toBe(all.length);
        for (const [key, value] of all) near(Object.entries(found).find(([k]) => k === key)?.[1], value);
      } else expect(found).toBe(wanted);
    };
    near(fit.parameters, parameters);
  });
  test("three components", () => {
    const three = {
      components: [
        { weight: 0.2, medianUm: 0.3, gsd: 1.3 },
        { weight: 0.5, medianUm: 2, gsd: 1.4 },
        { weight: 0.3, medianUm: 14, gsd: 1.5 },
      ],
    };
    const fit = fitOf(
      made((x) => mixture.cdf(three, x)),
      "mixture",
      { components: 3 },
    );
    expect(fit.rmsPoints).toBeLessThan(1e-4);
    const parts = fit.family === "mixture" ? fit.parameters.components : [];
    expect(parts.map((c) => Number(c.weight.toFixed(3)))).toEqual([0.2, 0.5, 0.3]);
  });
  test.each(["classes", "all"] as const)("held to %s it finds the same curve", (points) => {
    for (const family of ["log-normal", "rosin-rammler"] as const) {
      const [, cdf, wanted] = known.find(([name]) => name === family) ?? known[0] ?? [];
      if (cdf === undefined) throw new Error("known");
      expect(fitOf(made(cdf), family, { points }).parameters).toEqual(
        Object.fromEntries(Object.entries(wanted ?? {}).map(([k, v]) => [k, expect.closeTo(v, 6)])),
      );
    }
  });
});

describe("what a fit says of itself", () => {
  const wavy = made((x) => {
    const q = logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x);
    return q + 0.02 * Math.sin(3 * Math.log(x)) * q * (1 - q);
  });
  const fit = fitOf(wavy, "log-normal");
  const { sizesUm, shares, telling } = fitPoints(wavy.distribution, "edges");
  const p = fit.family === "log-normal" ? fit.parameters : { medianUm: 0, gsd: 2 };
  const misfit = sizesUm.map((x, i) => (shares[i] ?? 0) - logNormal.cdf(p, x));
  const sum = misfit.reduce((a, b) => a + b * b, 0);

  test("residuals, rms and largest gap are those of its curve (definition)", () => {
    for (const [i, r] of fit.residuals.entries()) expect(r.points).toBeCloseTo(100 * (misfit[i] ?? 0), 10);
    expect(fit.residuals.map((r) => r.sizeUm)).toEqual(sizesUm);
    expect(fit.rmsPoints).toBeCloseTo(100 * Math.sqrt(sum / telling), 10);
    expect(fit.maxGapPoints).toBeCloseTo(100 * Math.max(...misfit.map(Math.abs)), 10);
    expect(fit.edges).toBe(sizesUm.length);
  });
  test("AICc is N ln(SSE/N) + 2k + 2k(k+1)/(N−k−1) with k = 3 (definition)", () => {
    const n = telling;
    expect(fit.aicc).toBeCloseTo(n * Math.log(sum / n) + 6 + 24 / (n - 4), 8);
  });
  test("standard errors are those of the curvature: √(SSE/(N−2) · (JᵀJ)⁻¹) by differences", () => {
    const at = (change: Partial<typeof p>, x: number) => logNormal.cdf({ ...p, ...change }, x);
    const d = 1e-5;
    const j = sizesUm.map((x) => [
      (at({ medianUm: p.medianUm + d }, x) - at({ medianUm: p.medianUm - d }, x)) / (2 * d),
      (at({ gsd: p.gsd + d }, x) - at({ gsd: p.gsd - d }, x)) / (2 * d),
    ]);
    const s = (a: 0 | 1, b: 0 | 1) => j.reduce((t, row) => t + (row[a] ?? 0) * (row[b] ?? 0), 0);
    const determinant = s(0, 0) * s(1, 1) - s(0, 1) ** 2;
    const variance = sum / (sizesUm.length - 2);
    expect((fit.standardErrors["medianUm"] ?? 0) / Math.sqrt((variance * s(1, 1)) / determinant)).toBeCloseTo(
      1,
      4,
    );
    expect((fit.standardErrors["gsd"] ?? 0) / Math.sqrt((variance * s(0, 0)) / determinant)).toBeCloseTo(
      1,
      4,
    );
  });
  test("it needs an edge more than parameters", () => {
    expect(minEdges("log-normal")).toBe(3);
    expect(minEdges("upper-limit-log-normal")).toBe(4);
    expect(minEdges("mixture")).toBe(6);
    expect(minEdges("mixture", 3)).toBe(9);
    const few = made((x) => Math.min(1, x / 8), "few", [1, 3, 8]);
    expect(fitFamily(few, "log-normal")).not.toBeNull();
    expect(fitFamily(few, "upper-limit-log-normal")).toBeNull();
  });
  test("too few edges are not ranked, and it says so", () => {
    // Two telling edges and three parameters counted: N must exceed 4.
    const few = fitOf(
      made((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x) * 0.99, "few", [1, 2, 3, 5]),
      "log-normal",
    );
    expect(few.aicc).toBeNull();
    expect(few.warnings.join(" ")).toMatch(/There is no AICc/);
    const five = fitOf(
      made((x) => rosinRammler.cdf({ characteristicUm: 4, spreadExponent: 2 }, x), "five", [1, 2, 3, 5, 7]),
      "log-normal",
    );
    expect(five.aicc).not.toBeNull();
    expect(five.warnings).toEqual([]);
  });
  test("a log-normal asked for an upper limit ends at its bound and says so", () => {
    const endless = fitOf(
      made((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x)),
      "upper-limit-log-normal",
    );
    expect(endless.status).toBe("at bound");
    expect(endless.warnings[0]).toMatch(/end of its range/);
    expect(endless.standardErrors["topUm"]).toBeNull();
  });
});

describe("what a fit is held to", () => {
  const m = (shares: readonly number[], more: Partial<SizeDistribution> = {}) =>
    sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2, 4, 8],
      upperUm: [2, 4, 8, 16],
      shares,
      ...more,
    });
  test("edges: from the last with nothing below to the first with everything below", () => {
    expect(fitPoints(m([0, 0.4, 0.6, 0]), "edges")).toMatchObject({
      sizesUm: [2, 4, 8],
      shares: [0, 0.4, 1],
      fromUm: null,
      telling: 1,
    });
    expect(fitPoints(m([0.1, 0.4, 0.3, 0.2]), "edges").sizesUm).toEqual([1, 2, 4, 8, 16]);
    expect(fitPoints(m([0, 0.4, 0.3, 0], { belowShare: 0.1, aboveShare: 0.2 }), "edges").sizesUm).toEqual([
      1, 2, 4, 8, 16,
    ]);
  });
  test("all: every edge as given", () => {
    expect(fitPoints(m([0, 0.4, 0.6, 0]), "all")).toMatchObject({
      sizesUm: [1, 2, 4, 8, 16],
      shares: [0, 0, 0.4, 1, 1],
      telling: 1,
    });
  });
  test("classes: each its own share", () => {
    expect(fitPoints(m([0, 0.4, 0.6, 0]), "classes")).toEqual({
      sizesUm: [2, 4, 8, 16],
      lnSizes: [Math.log(2), Math.log(4), Math.log(8), Math.log(16)],
      fromUm: [1, 2, 4, 8],
      shares: [0, 0.4, 0.6, 0],
      telling: 2,
    });
  });
});

describe("starts", () => {
  test("median and ln(D84/D16) of the share that was seen", () => {
    const even = sizeDistribution({ quantity: "volume", lowerUm: [1], upperUm: [16], shares: [1] });
    const shape = shapeOf(curveOf(even));
    expect(shape?.d50Um).toBeCloseTo(4, 12);
    expect(shape?.widthLn).toBeCloseTo(0.68 * Math.log(16), 12);
    const open = sizeDistribution({
      quantity: "volume",
      lowerUm: [1],
      upperUm: [16],
      shares: [0.6],
      belowShare: 0.3,
      aboveShare: 0.1,
    });
    expect(shapeOf(curveOf(open))?.d50Um).toBeCloseTo(4, 12);
    expect(shapeOf(curveOf(open))?.widthLn).toBeCloseTo(0.68 * Math.log(16), 12);
  });
  test("nothing in the classes has no shape", () => {
    const empty = sizeDistribution({
      quantity: "volume",
      lowerUm: [1],
      upperUm: [16],
      shares: [0],
      belowShare: 1,
    });
    expect(shapeOf(curveOf(empty))).toBeNull();
  });
  test("components stand for stretches of the curve: weights add to 1, medians are the stretches' own", () => {
    const even = curveOf(sizeDistribution({ quantity: "volume", lowerUm: [1], upperUm: [16], shares: [1] }));
    for (const count of [2, 3] as const)
      for (const [i, start] of mixtureStarts(even, count).entries()) {
        expect(start.components.length).toBe(count);
        expect(start.components.reduce((sum, c) => sum + c.weight, 0)).toBeCloseTo(1, 12);
        // After the cuts come starts with a twentieth hidden inside the whole, at its 10 % to its 90 %.
        if (i >= 7) {
          const [whole, hidden] = start.components;
          expect([whole?.weight, whole?.medianUm]).toEqual([0.95, expect.closeTo(4, 10)]);
          expect(hidden?.medianUm).toBeCloseTo(16 ** (0.1 + 0.2 * (i - 7)), 10);
          continue;
        }
        let from = 0;
        for (const c of start.components) {
          expect(c.medianUm).toBeCloseTo(16 ** (from + c.weight / 2), 10);
          const half = Math.max((0.68 * c.weight * Math.log(16)) / 2, 0.08);
          expect(Math.log(c.gsd)).toBeCloseTo(half, 10);
          from += c.weight;
        }
      }
  });
});

describe("what follows from a fitted curve", () => {
  const curve = { family: "log-normal", parameters: { medianUm: 3, gsd: 1.6 } } as const;
  const s2 = Math.log(1.6) ** 2;
  test("means and area by Hatch and Choate, from any quantity", () => {
    // D[p,q] = median by volume · exp((p + q − 6)σ²/2).
    const by = derivedFrom(curve, "volume", { densityGPerCm3: 4.7 });
    expect(by.meansUm["4,3"]).toBeCloseTo(3 * Math.exp(0.5 * s2), 10);
    expect(by.meansUm["3,2"]).toBeCloseTo(3 * Math.exp(-0.5 * s2), 10);
    expect(by.meansUm["1,0"]).toBeCloseTo(3 * Math.exp(-2.5 * s2), 10);
    expect(by.surfaceM2PerG).toBeCloseTo(6 / (4.7 * 3 * Math.exp(-0.5 * s2)), 10);
    expect(by.percentilesUm["50"]).toBeCloseTo(3, 10);
    expect(by.refused).toEqual([]);
    const number = derivedFrom(curve, "number");
    expect(number.meansUm["3,2"]).toBeCloseTo(3 * Math.exp(2.5 * s2), 10);
    expect(number.surfaceM2PerG).toBeNull();
    const asNumber = derivedFrom(curve, "volume", { as: "number" });
    expect((asNumber.percentilesUm["50"] ?? 0) / (3 * Math.exp(-3 * s2))).toBeCloseTo(1, 6);
    expect(asNumber.quantity).toBe("number");
  });
  test("it agrees with the classes it was fitted to", () => {
    const one = made((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x));
    const by = derivedFrom(curve, "volume", { densityGPerCm3: 4.7 });
    expect((meanDiameterUm(one.distribution, 3, 2) ?? 0) / (by.meansUm["3,2"] ?? 1)).toBeCloseTo(1, 2);
    expect((geometricSurface(one.distribution, 4.7)?.m2PerG ?? 0) / (by.surfaceM2PerG ?? 1)).toBeCloseTo(
      1,
      2,
    );
    expect(convert(one.distribution, "number")).not.toBeNull();
  });
  test("what has no integral is refused with the exponent it would need", () => {
    const fines = {
      family: "rosin-rammler",
      parameters: { characteristicUm: 6, spreadExponent: 0.9 },
    } as const;
    const by = derivedFrom(fines, "volume", { as: "number", densityGPerCm3: 4 });
    expect(by.percentilesUm).toEqual({ "10": null, "50": null, "90": null });
    expect(by.meansUm["3,2"]).toBeNull();
    expect(by.meansUm["1,0"]).toBeNull();
    expect(by.surfaceM2PerG).toBeNull();
    expect(by.refused[0]).toMatch(
      /^Number percentiles cannot be calculated: the integral over x\^-3 .* 0\.900, which must exceed 3/,
    );
    expect(by.refused[1]).toMatch(/^D\[3,2\] cannot be calculated: .* which must exceed 1;/);
    expect(by.refused[2]).toMatch(/^D\[1,0\] cannot be calculated: .* which must exceed 3;/);
    expect(by.refused[3]).toMatch(
      /^The area cannot be calculated: the integral over x\^-1 .* which must exceed 1;/,
    );
    const line = { family: "gates-gaudin-schuhmann", parameters: { topUm: 6, exponent: 1.5 } } as const;
    expect(derivedFrom(line, "volume").refused).toEqual([
      expect.stringMatching(/^D\[1,0\] cannot be calculated: .* 1\.50, which must exceed 3/),
    ]);
  });
});

describe("noise, ranking and humps", () => {
  test("noise is the rms of Q about the mean curve, over telling edges and n − 1 runs (worked by hand)", () => {
    const run = (q: number) => made((x) => (x < 1.5 ? 0 : x < 3 ? q : 1), `run ${q}`, [1, 2, 4]);
    expect(noisePoints([run(0.5)])).toBe(0.3);
    // One telling edge; deviations −0.01, 0, 0.01: √(2e-4/2) = 0.01.
    expect(noisePoints([run(0.49), run(0.5), run(0.51)])).toBeCloseTo(1, 10);
    expect(noisePoints([run(0.49), run(0.51)])).toBeCloseTo(100 * Math.sqrt(2e-4), 10);
    const step = made((x) => (x < 1.5 ? 0 : 1), "step", [1, 2]);
    expect(noisePoints([step, step])).toBe(0.3);
  });
  test("families rank by their mean misfit; apart means the noise or more from the best", () => {
    const base = fitOf(
      made((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x)),
      "log-normal",
    );
    const rosin = fitOf(
      made((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x)),
      "rosin-rammler",
    );
    const double = fitOf(
      made((x) => mixture.cdf(two, x)),
      "mixture",
    );
    const rows = rankingOf(
      [
        { ...base, rmsPoints: 1, aicc: 10 },
        { ...base, rmsPoints: 2, aicc: 20 },
        { ...rosin, rmsPoints: 1.2, aicc: 5 },
        { ...rosin, rmsPoints: 1.4, aicc: null },
        { ...double, rmsPoints: 1.8, aicc: 1 },
      ],
      0.25,
    );
    expect(rows).toEqual([
      {
        family: "rosin-rammler",
        parameters: 2,
        rmsPoints: expect.closeTo(1.3, 12),
        aicc: null,
        isToldApart: false,
      },
      { family: "log-normal", parameters: 2, rmsPoints: 1.5, aicc: 15, isToldApart: false },
      { family: "mixture", parameters: 5, rmsPoints: 1.8, aicc: 1, isToldApart: true },
    ]);
    expect(
      rankingOf(
        [
          { ...base, rmsPoints: 1 },
          { ...rosin, rmsPoints: 1.5 },
        ],
        0.5,
      )[1]?.isToldApart,
    ).toBe(true);
    // Told apart from the best, whatever lies nearer to the others.
    const three = [
      { ...base, rmsPoints: 1 },
      { ...rosin, rmsPoints: 1.5 },
      { ...double, rmsPoints: 1.6 },
    ];
    expect(rankingOf(three, 0.3).map((row) => row.isToldApart)).toEqual([false, true, true]);
    expect(rankingOf([], 0.3)).toEqual([]);
  });
  test("a second hump needs a dip in every run, and three runs", () => {
    const runs = ["a", "b", "c"].map((name, i) =>
      curveOf(made((x) => mixture.cdf(two, x * (1 + 0.001 * i)), name).distribution),
    );
    const found = humpsOf(runs);
    expect(found?.verdict).toBe("second hump");
    expect(found?.smallerShare).toBeCloseTo(0.3, 2);
    expect(found?.atUm[0]).toBeCloseTo(0.8, 1);
    expect(found?.atUm[1]).toBeCloseTo(5, 0);
    expect(humpsOf(runs.slice(0, 2))?.verdict).toBe("possible second hump");
    expect(humpsOf([])).toBeNull();
    // One run without a second hump is enough against it.
    const plain = curveOf(made((x) => logNormal.cdf({ medianUm: 3, gsd: 1.6 }, x)).distribution);
    expect(humpsOf([...runs, plain])).toMatchObject({ verdict: "one hump", smallerShare: null });
  });
  test("medians nearer than two widths make no second hump", () => {
    const near = {
      components: [
        { weight: 0.5, medianUm: 2, gsd: 1.5 },
        { weight: 0.5, medianUm: 4, gsd: 1.5 },
      ],
    };
    expect(humpsOf([curveOf(made((x) => mixture.cdf(near, x)).distribution)])?.verdict).toBe("one hump");
  });
});

describe("a quantity over runs", () => {
  test("from three runs on, Student's t on the logarithms (t(0.975; 2) = 4.303, from a printed table, from memory)", () => {
    const found = overRuns([2, 2.2, 2.42], 0.95);
    const s = Math.log(1.1);
    expect(found.value).toBeCloseTo(2.2, 12);
    expect(found.high).toBeCloseTo(2.2 * Math.exp((4.3027 * s) / Math.sqrt(3)), 3);
    expect(found.low).toBeCloseTo(2.2 * Math.exp((-4.3027 * s) / Math.sqrt(3)), 3);
    expect(found).toMatchObject({ runs: 3, level: 0.95, basis: "runs" });
  });
  test("below three runs a pooled spread with ten degrees or more", () => {
    // t(0.975; 10) = 2.228 (printed table, from memory).
    const found = overRuns([2, 2], 0.95, { sdLn: 0.1, degrees: 10 });
    expect(found.high).toBeCloseTo(2 * Math.exp((2.2281 * 0.1) / Math.SQRT2), 4);
    expect(found.basis).toBe("pooled lots");
    const bare = overRuns([2, 2], 0.95, { sdLn: 0.1, degrees: 9 });
    expect(bare).toMatchObject({ value: 2, low: null, high: null, basis: null });
    expect(overRuns([2], 0.95).value).toBe(2);
  });
  test("a value that is not known, or not above zero, leaves the whole unknown", () => {
    for (const bad of [[2, null, 2], [2, 0, 2], [2, -1, 2], []])
      expect(overRuns(bad, 0.95)).toMatchObject({ value: null, low: null, runs: bad.length });
  });
  test("pooled: each lot's variance by its degrees (worked by hand)", () => {
    const e = Math.exp;
    // Lots of ln: (0, 0.2) s² = 0.02 with 1; (0, 0.1, 0.2) s² = 0.01 with 2: √(0.04/3).
    const found = pooledSpread([[1, e(0.2)], [1, e(0.1), e(0.2)], [5], [1, null]]);
    expect(found?.degrees).toBe(3);
    expect(found?.sdLn).toBeCloseTo(Math.sqrt(0.04 / 3), 12);
    expect(pooledSpread([[5], []])).toBeNull();
  });
});

describe("the fit's sentence", () => {
  const powder = (name: string, factor: number) =>
    made((x) => logNormal.cdf({ medianUm: 3 * factor, gsd: 1.6 }, x), name);
  const both = ["log-normal", "rosin-rammler"] as const;
  test("names the better of two with both misfits", () => {
    const { sentence, ranking } = fitAnswer([powder("a", 1)], { families: both });
    expect(ranking.map((r) => r.family)).toEqual(["log-normal", "rosin-rammler"]);
    expect(sentence).toMatch(
      /^The log-normal curve describes the powder better: its misfit is .* points, that of /,
    );
  });
  test("one family alone states its misfit; one run has no interval, three have", () => {
    const one = fitAnswer([powder("a", 1)], { families: ["log-normal"] });
    expect(one.sentence).toMatch(
      /^The log-normal curve fits with a root-mean-square misfit of less than 0\.001 percentage points\.$/,
    );
    expect(one.problems.some((p) => /no confidence interval/.test(p.message))).toBe(true);
    expect(one.humps?.verdict).toBe("one hump");
    const three = fitAnswer([powder("a", 0.99), powder("b", 1), powder("c", 1.01)], {
      families: ["log-normal"],
    });
    expect(three.problems.some((p) => /no confidence interval/.test(p.message))).toBe(false);
    const median = three.overRuns[0]?.parameters["medianUm"];
    expect(median?.value).toBeCloseTo(3 * (0.99 * 1.01) ** (1 / 3), 6);
    expect(median?.low ?? 9).toBeLessThan(median?.value ?? 0);
  });
  test("what cannot be fitted is refused by its fewest edges", () => {
    const few = made((x) => Math.min(1, x / 8), "few", [1, 3, 8]);
    const { fits, problems, sentence } = fitAnswer([few], { families: ["mixture"] });
    expect(fits).toEqual([]);
    expect(sentence).toBe("No curve could be fitted.");
    expect(problems[0]).toMatchObject({
      severity: "refused",
      measurement: "few",
      expected: "6 edges or more",
    });
  });
  test("curves closer than the noise cannot be told apart, and the plainest will do", () => {
    const { sentence } = fitAnswer([powder("a", 1)], { families: ["log-normal", "mixture"] });
    expect(sentence).toMatch(/not distinguishable/);
    expect(sentence).toMatch(/assumed for one run/);
    expect(sentence).toMatch(/The simplest of them, the log-normal curve, is sufficient/);
  });
  test("a second hump of one run is possible, and asks for three", () => {
    const { sentence, humps } = fitAnswer([made((x) => mixture.cdf(two, x))], {
      families: ["log-normal", "mixture"],
    });
    expect(humps?.verdict).toBe("possible second hump");
    expect(sentence).toMatch(
      /A second mode is possible: the modes are near 0\.\d+ and \d\.\d\d µm, and the smaller holds \d\d\.\d %/,
    );
    expect(sentence).toMatch(/Three runs are needed/);
  });
  test("a best misfit above two points is called poor", () => {
    const { sentence } = fitAnswer([made((x) => mixture.cdf(two, x))], { families: both });
    expect(sentence).toMatch(/Neither describes the powder well\./);
  });
});
