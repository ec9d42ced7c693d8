import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { type Curve, curveOf, meanCurve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { productAnswer } from "#model/answers/mill/productAnswer.ts";
import { wheelAnswer } from "#model/answers/mill/wheelAnswer.ts";
import { actualFlowM3PerH, normalFlowM3PerH } from "#model/mill/gas/gas.ts";
import { assumedCircuit, fitCircuit } from "#model/mill/grinding/fitCircuit.ts";
import { type CircuitShape, productTied, tiedKernel } from "#model/mill/grinding/tied.ts";
import { wholeProduct } from "#model/mill/grinding/wholeProduct.ts";
import { parseMill } from "#model/mill/mill.ts";
import { tiedToPrediction, tiedToSizes } from "#model/mill/prediction/tiedToSizes.ts";
import { demoMill, demoTrials } from "../demo.ts";

const coarse: Curve = { edgesUm: [30, 60], undersize: [0, 1], power: 0 };
const shape = (load: number): CircuitShape => ({
  sharpness: 0.55,
  fragmentKind: "power",
  fragmentExponent: 1.6,
  rateExponent: 1,
  load: { at: "cut", value: load },
});

describe("a product tied to its median", () => {
  test.each([0.02, 0.3, 5])("has that median whatever the load (%f), to 1e-8", (load) => {
    const tied = productTied(tiedKernel(coarse, shape(load), 3, 8), shape(load), 3);
    expect(sizeAt(tied?.productCurve ?? coarse, 0.5)).toBeCloseTo(3, 7);
    expect(tied?.load).toBeCloseTo(load, 9);
  });
  test("a median as coarse as the feed has no circuit", () => {
    expect(productTied(tiedKernel(coarse, shape(0.1), 3, 8), shape(0.1), 80)).toBeNull();
  });
});

describe("the whole product on the band", () => {
  const kernel = tiedKernel(coarse, shape(0.3), 1, 8);
  const d50Um = { median: 3, low: 2.7, high: 3.3, level: 0.9 };
  test("has the trials' median, and its strip is the same balance at both ends of the median's interval", () => {
    const whole = wholeProduct(kernel, shape(0.3), d50Um, null);
    expect(sizeAt(whole?.curve ?? coarse, 0.5)).toBeCloseTo(3, 7);
    expect(sizeAt(whole?.finer ?? coarse, 0.5)).toBeCloseTo(2.7, 7);
    expect(sizeAt(whole?.coarser ?? coarse, 0.5)).toBeCloseTo(3.3, 7);
    expect(whole?.curve).toEqual(productTied(kernel, shape(0.3), 3)?.productCurve);
  });
  test("re-fired, the mill makes what grows to that median", () => {
    const after = {
      growth: 1.2,
      fired: (curve: Curve) => ({ ...curve, edgesUm: curve.edgesUm.map((x) => 1.2 * x) }),
    };
    const whole = wholeProduct(kernel, shape(0.3), d50Um, after);
    expect(sizeAt(whole?.curve ?? coarse, 0.5)).toBeCloseTo(3, 7);
    expect(sizeAt(whole?.coarser ?? coarse, 0.9)).toBeCloseTo(
      1.2 * (sizeAt(productTied(kernel, shape(0.3), 3.3 / 1.2)?.productCurve ?? coarse, 0.9) ?? 0),
      7,
    );
    expect(wholeProduct(kernel, shape(0.3), { ...d50Um, high: 70 }, null)).toBeNull();
  });
});

describe("a drawn product beside the numbers printed of it", () => {
  // The outside truth is the definition: D_p of the curve that is drawn is the D_p that is printed (ISO 9276-1).
  const percentiles = (curve: Curve) => [0.1, 0.5, 0.9].map((share) => sizeAt(curve, share));
  test.each([4500, 6200, 7400])(
    "at %i rpm D10, D50 and D90 agree at the middle and both ends",
    (speedRpm) => {
      const { d10Um, d50Um, d90Um } = wheelAnswer(demoMill, demoTrials, { speedRpm });
      if (d10Um === null || d50Um === null || d90Um === null)
        throw new Error("the demo's trials have all three");
      for (const load of [0.02, 0.3, 5]) {
        const kernel = tiedKernel(coarse, shape(load), 1, 8);
        const whole = wholeProduct(kernel, shape(load), d50Um, null);
        if (whole === null) throw new Error("the balance has such a product");
        // The balance alone would draw other ends than are printed.
        expect(Math.abs((sizeAt(whole.curve, 0.9) ?? 0) / d90Um.median - 1)).toBeGreaterThan(0.001);
        const drawn = tiedToPrediction(whole, { d10Um, d50Um, d90Um });
        for (const [curve, end] of [
          [drawn.curve, "median"],
          [drawn.finer, "low"],
          [drawn.coarser, "high"],
        ] as const) {
          expect(percentiles(curve)).toEqual(
            [d10Um, d50Um, d90Um].map((size) => expect.closeTo(size[end], 9)),
          );
          expect(curve.edgesUm.every((x, i) => i === 0 || x > (curve.edgesUm[i - 1] ?? 0))).toBe(true);
        }
        expect(drawn.recycle).toEqual(whole.recycle);
      }
    },
  );
  test("a side that is not known, or would be turned round, keeps its width; other rules inside a class too", () => {
    const curve: Curve = { edgesUm: [1, 2, 4, 8], undersize: [0, 0.2, 0.8, 1], power: 3 };
    const [d10 = 0, d50 = 0, d90 = 0] = percentiles(curve).map((size) => size ?? 0);
    expect(percentiles(tiedToSizes(curve, { d10Um: null, d50Um: 6, d90Um: 5 }))).toEqual(
      [d10, d50, d90].map((size) => expect.closeTo((size * 6) / d50, 9)),
    );
    expect(percentiles(tiedToSizes(curve, { d10Um: 2, d50Um: 3, d90Um: 3.5 }))).toEqual(
      [2, 3, 3.5].map((size) => expect.closeTo(size, 9)),
    );
    const unseen: Curve = { edgesUm: [1, 2], undersize: [0.6, 1], power: 0 };
    expect(tiedToSizes(unseen, { d10Um: 1, d50Um: 2, d90Um: 3 })).toBe(unseen);
  });
});

describe("the circuit's shape from whole curves", () => {
  test("curves made by a known shape give it back", () => {
    const truth = shape(0.4);
    const curves = [2.5, 4].map(
      (um) => productTied(tiedKernel(coarse, truth, 2.5, 8), truth, um)?.productCurve ?? coarse,
    );
    const found = fitCircuit(curves, coarse);
    expect(found?.status).toBe("converged");
    expect(found?.rmsPoints).toBeLessThan(0.2);
    expect(found?.shape.sharpness).toBeCloseTo(0.55, 1);
    expect(found?.shape.fragmentExponent).toBeGreaterThan(1.2);
    expect(found?.shape.fragmentExponent).toBeLessThan(2.1);
  });
  test("and so do curves whose pieces follow Broadbent and Callcott, when that is what is fitted", () => {
    const truth: CircuitShape = { ...shape(0.4), fragmentKind: "broadbent-callcott", fragmentExponent: 1.2 };
    const curves = [2.5, 4].map(
      (um) => productTied(tiedKernel(coarse, truth, 2.5, 8), truth, um)?.productCurve ?? coarse,
    );
    const found = fitCircuit(curves, coarse, "broadbent-callcott");
    expect(found?.rmsPoints).toBeLessThan(0.2);
    expect(found?.shape.fragmentKind).toBe("broadbent-callcott");
    expect(found?.shape.fragmentExponent).toBeCloseTo(1.2, 0);
  });
  test("another belief is where it ends without a curve, and hardly moves it with whole ones", () => {
    const priors = { sharpness: 0.75, fragmentExponent: 1, rateExponent: 1, load: 0.4 };
    expect(assumedCircuit(4, "power", priors)).toMatchObject({
      shape: { sharpness: 0.75, fragmentExponent: 1, load: { at: "1 µm", value: 0.1 } },
      loadRange: [0.04, 4],
    });
    const truth = shape(0.4);
    const curves = [2.5, 4].map(
      (um) => productTied(tiedKernel(coarse, truth, 2.5, 8), truth, um)?.productCurve ?? coarse,
    );
    expect(fitCircuit(curves, coarse, "power", priors)?.shape.sharpness).toBeCloseTo(0.55, 1);
  });
  test("the load is told at 1 µm by the exponent of the rate, so that at the cut it is what made the curve", () => {
    const truth: CircuitShape = { ...shape(0.4), rateExponent: 1.5 };
    const curve = productTied(tiedKernel(coarse, truth, 3, 8), truth, 3)?.productCurve ?? coarse;
    const priors = { sharpness: 0.55, fragmentExponent: 1.6, rateExponent: 1.5, load: 0.4 };
    const found = fitCircuit([curve], coarse, "power", priors)?.shape ?? truth;
    expect(found.load.at).toBe("1 µm");
    expect(productTied(tiedKernel(coarse, found, 3, 8), found, 3)?.load).toBeCloseTo(0.4, 1);
  });
  test("no curve, no fit: the usual shape, marked as assumed", () => {
    expect(fitCircuit([], coarse)).toBeNull();
    expect(assumedCircuit(4)).toMatchObject({
      status: "assumed",
      curves: 0,
      rmsPoints: null,
      loadRange: [0.01, 1],
    });
  });
});

describe("the whole product at a setting", () => {
  const sample = (path: string) =>
    readFileSync(new URL(`../../../../distributions/samples/${path}`, import.meta.url), "utf8");
  const curves = [2, 5, 7].flatMap((i) =>
    readTable(sample(`mill/curves/trial-${i}.csv`), null, {}).measurements.map((m) =>
      curveOf(m.distribution),
    ),
  );
  const feed = meanCurve(
    readTable(sample("lots/garnet-07/crushed.csv"), null, {}).measurements.map((m) =>
      curveOf(m.distribution),
    ),
  );
  const fitted = fitCircuit(curves, feed) ?? assumedCircuit(4);
  const mill = { ...demoMill, nozzlePressurePa: 7e5 };
  const ask = {
    d50Um: { median: 3, low: 2.8, high: 3.2, level: 0.9 },
    referenceD50Um: 3.4,
    flowM3PerH: 190,
    feedKgPerH: 8,
    finesBelowUm: 1,
    residueAboveUm: 10,
  };
  const answer = productAnswer(mill, fitted, feed, ask);
  if (answer === null) throw new Error("the demo must have a product");

  test("every interval holds its middle, and a finer product costs throughput", () => {
    for (const range of [
      answer.d10Um,
      answer.d90Um,
      answer.finesShare,
      answer.residueShare,
      answer.surfaceM2PerG,
    ]) {
      expect(range.low).toBeLessThanOrEqual(range.middle);
      expect(range.high).toBeGreaterThanOrEqual(range.middle);
    }
    expect(sizeAt(answer.product, 0.5)).toBeCloseTo(3, 6);
    expect(answer.throughput.low).toBeLessThanOrEqual(answer.throughput.middle);
    expect(answer.throughput.high).toBeGreaterThanOrEqual(answer.throughput.middle);
    expect(answer.throughput.high).toBeGreaterThan(answer.throughput.low);
    expect(answer.throughput.high).toBeLessThan(1);
    // docs/science.md: at equal hold-up throughput falls about as D50^0.75…1.05.
    expect(answer.throughput.middle).toBeGreaterThan((3 / 3.4) ** 1.6);
    expect(answer.jet?.energyKWhPerKg).toBeGreaterThan(0);
    expect(answer.sentence).toMatch(/three whole curves/);
  });
  test("what is held goes out or is thrown back: (1 + recycle)·held = product + recycle·returned at every size", () => {
    for (const x of [0.5, 1, 2, 4, 8, 16]) {
      const offered = (1 + answer.recycle) * undersizeAt(answer.held, x);
      const parted = undersizeAt(answer.product, x) + answer.recycle * undersizeAt(answer.returned, x);
      expect(parted).toBeCloseTo(offered, 9);
    }
  });
  test("a mill that grinds far faster than its wheel is offered powder over-grinds, and it is said", () => {
    const hard = {
      ...fitted,
      shape: { ...fitted.shape, fragmentExponent: 1.4, load: { at: "1 µm" as const, value: 0.35 } },
    };
    const over = productAnswer(mill, hard, { edgesUm: [300, 400], undersize: [0, 1], power: 0 }, ask);
    expect(over?.followsCut).toBeLessThan(0.3);
    expect(over?.sentence).toMatch(/over-grinds: a 1 % finer cut lowers D50 by only 0\.\d\d %/);
  });
});

describe("a mill as it is described", () => {
  const file = { ...demoMill, name: "mill" };
  test("a flow in normal cubic metres is turned into the flow at the wheel, and back", () => {
    const { mill } = parseMill({ ...file, gasFlowM3PerH: undefined, gasFlowNormalM3PerH: 170 }, null);
    expect(mill?.gasFlowNormalM3PerH).toBe(170);
    const plain = parseMill(file, null).mill;
    for (const name of ["gasFlowNormalM3PerH", "nozzlePressurePa", "grindingLimitUm"])
      expect(plain).not.toHaveProperty(name);
    expect(parseMill({ ...file, nozzlePressurePa: 7e5, grindingLimitUm: 0.4 }, null).mill).toMatchObject({
      nozzlePressurePa: 7e5,
      grindingLimitUm: 0.4,
    });
    expect(mill?.gasFlowM3PerH).toBeCloseTo(170 * (303.15 / 273.15) * (101325 / 99000), 9);
    expect(normalFlowM3PerH(actualFlowM3PerH(170, 420, 2e5), 420, 2e5)).toBeCloseTo(170, 9);
  });
  test.each([
    [{ nozzlePressurePa: demoMill.pressurePa }, /above the pressure at the wheel/],
    [{ nozzlePressurePa: 90_000 }, /pressure before the nozzles .* above the pressure at the wheel/],
    [{ grindingLimitUm: -1 }, /grinding limit/],
    [{ wheelRadiusM: 0 }, /^The wheel's radius in m must be a number above zero; found 0\.$/],
  ])("%j is refused in plain words", (change, words) => {
    const { mill, problems } = parseMill({ ...file, ...change }, null);
    expect(mill).toBeNull();
    expect(problems[0]?.message).toMatch(words);
    expect(problems[0]?.expected).toMatch(/^\w+: /);
  });
});
