import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { curveOf, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { convert, geometricSurface, meanDiameterUm } from "#distributions/moments.ts";
import { quantities, type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { writeTable } from "#distributions/tables/copies/writeTable.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { fitFamily } from "#model/fit/fitFamily.ts";

const distribution = fc
  .record({
    first: fc.double({ min: 0.02, max: 5, noNaN: true }),
    steps: fc.array(fc.double({ min: 1.05, max: 1.6, noNaN: true }), { minLength: 4, maxLength: 40 }),
    weights: fc.array(fc.integer({ min: 1, max: 1000 }), { minLength: 40, maxLength: 40 }),
    quantity: fc.constantFrom(...quantities),
  })
  .map(({ first, steps, weights, quantity }): SizeDistribution => {
    const edges = [first];
    for (const step of steps) edges.push((edges.at(-1) ?? first) * step);
    const used = weights.slice(0, steps.length);
    const sum = used.reduce((a, b) => a + b, 0);
    return sizeDistribution({
      quantity,
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: used.map((w) => w / sum),
    });
  });
const near = (a: number, b: number, tolerance = 1e-12) =>
  Math.abs(a - b) <= tolerance * Math.max(1, Math.abs(b));

describe("laws of a distribution", () => {
  test("the size at the share below a size is that size", () => {
    fc.assert(
      fc.property(distribution, fc.double({ min: 0.001, max: 0.999, noNaN: true }), (m, part) => {
        const curve = curveOf(m);
        const x = sizeAt(curve, part) ?? Number.NaN;
        return near(undersizeAt(curve, x), part, 1e-11);
      }),
    );
  });

  test("a conversion there and back returns the input, and its shares add to 1", () => {
    fc.assert(
      fc.property(distribution, fc.constantFrom(...quantities), (m, quantity) => {
        const there = convert(m, quantity);
        const back = there === null ? null : convert(there, m.quantity);
        const sum = there?.shares.reduce((a, b) => a + b, 0) ?? 0;
        return near(sum, 1, 1e-9) && back?.shares.every((v, i) => near(v, m.shares[i] ?? 0, 1e-9)) === true;
      }),
    );
  });

  test("D[p,q] does not depend on the quantity the shares count now", () => {
    fc.assert(
      fc.property(distribution, fc.constantFrom(...quantities), (m, quantity) => {
        const other = convert(m, quantity);
        return other !== null && near(meanDiameterUm(other, 3, 2) ?? 0, meanDiameterUm(m, 3, 2) ?? 1, 1e-9);
      }),
    );
  });

  test("sizes times k give D times k and area over k", () => {
    fc.assert(
      fc.property(distribution, fc.double({ min: 0.1, max: 10, noNaN: true }), (m, k) => {
        const big = sizeDistribution({
          ...m,
          lowerUm: m.lowerUm.map((x) => x * k),
          upperUm: m.upperUm.map((x) => x * k),
        });
        const d = meanDiameterUm(m, 4, 3) ?? 0;
        const s = geometricSurface(m, 4)?.m2PerG ?? 0;
        return (
          near((meanDiameterUm(big, 4, 3) ?? 0) / (d * k), 1, 1e-9) &&
          near(((geometricSurface(big, 4)?.m2PerG ?? 0) * k) / s, 1, 1e-9)
        );
      }),
    );
  });

  test("empty classes added at the ends change no percentile, mean, area or fit", () => {
    fc.assert(
      fc.property(distribution, (m) => {
        const first = m.lowerUm[0] ?? 1;
        const last = m.upperUm.at(-1) ?? 1;
        const wide = sizeDistribution({
          ...m,
          lowerUm: [first / 4, first / 2, ...m.lowerUm, last],
          upperUm: [first / 2, first, ...m.upperUm, last * 2],
          shares: [0, 0, ...m.shares, 0],
        });
        const fitOf = (d: SizeDistribution) =>
          fitFamily({ file: null, name: "x", distribution: d }, "log-normal");
        return (
          near(sizeAt(curveOf(wide), 0.1) ?? 0, sizeAt(curveOf(m), 0.1) ?? 1) &&
          near(meanDiameterUm(wide, 3, 2) ?? 0, meanDiameterUm(m, 3, 2) ?? 1, 1e-10) &&
          fitOf(wide)?.edges === fitOf(m)?.edges &&
          near(fitOf(wide)?.rmsPoints ?? 0, fitOf(m)?.rmsPoints ?? 1, 1e-8)
        );
      }),
      { numRuns: 40 },
    );
  });

  test("a table written and read back is identical to the last digit", () => {
    fc.assert(
      fc.property(distribution, (m) => {
        const { measurements, problems } = readTable(
          writeTable({ file: null, name: "run 1", distribution: m }),
          null,
          {},
        );
        expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
        expect(measurements[0]?.distribution).toEqual(m);
      }),
    );
  });

  test("a table with shares below and above reads back too", () => {
    const open = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.3, 0.4],
      belowShare: 0.1,
      aboveShare: 0.2,
    });
    const { measurements } = readTable(
      writeTable({ file: null, name: "a, b", distribution: open }),
      null,
      {},
    );
    expect(measurements[0]?.name).toBe("a, b");
    expect(measurements[0]?.distribution.belowShare).toBe(0.1);
    expect(measurements[0]?.distribution.aboveShare).toBeCloseTo(0.2, 15);
  });
});

describe("laws of the families", () => {
  const share = fc.double({ min: 1e-9, max: 0.5, noNaN: true });
  test("quantile(cdf(x)) is x below the median, and through oversize above", () => {
    fc.assert(
      fc.property(
        share,
        fc.double({ min: 0.1, max: 100, noNaN: true }),
        fc.double({ min: 1.1, max: 4, noNaN: true }),
        (p, size, width) => {
          const normal = { medianUm: size, gsd: width };
          const rosin = { characteristicUm: size, spreadExponent: width };
          return (
            near(logNormal.cdf(normal, logNormal.quantile(normal, p)) / p, 1, 1e-11) &&
            near(logNormal.oversize(normal, logNormal.quantileOfOversize(normal, p)) / p, 1, 1e-11) &&
            near(rosinRammler.cdf(rosin, rosinRammler.quantile(rosin, p)) / p, 1, 1e-11) &&
            near(rosinRammler.oversize(rosin, rosinRammler.quantileOfOversize(rosin, p)) / p, 1, 1e-11)
          );
        },
      ),
    );
  });
});
