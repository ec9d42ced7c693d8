import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { type Curve, curveOf, meanCurve, sizeAt } from "#distributions/curve.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { batchOf, curveAfter, doseForD50 } from "#model/mill/grinding/batchTime.ts";
import { jetCost } from "#model/mill/grinding/cost.ts";
import { tiedKernel } from "#model/mill/grinding/tied.ts";
import { wholeProduct } from "#model/mill/grinding/wholeProduct.ts";
import { bestSetting, chancesOver } from "#model/mill/prediction/bestSetting.ts";
import { chanceInBand } from "#model/mill/prediction/chanceInBand.ts";
import { fitMill } from "#model/mill/prediction/fittedMill.ts";
import { judgedWith } from "#model/mill/prediction/judgedRows.ts";
import { predictedProductAt } from "#model/mill/prediction/predictedProduct.ts";
import { pairOfCurves, refiredCurve } from "#model/mill/prediction/refiredCurve.ts";
import { meanShift } from "#model/mill/prediction/refiringGrowth.ts";
import {
  atPressure,
  pressureForD50,
  pressureLimits,
  pressureRegression,
} from "#model/mill/pressure/pressureRegression.ts";
import { readPressureTrials } from "#model/mill/pressure/readPressureTrials.ts";
import { exponentsOf } from "#model/mill/trials/exponents.ts";
import { nextTrial } from "#model/mill/trials/nextTrial.ts";
import { predictedCurve } from "#model/mill/trials/predictedCurve.ts";
import { warningsAt } from "#model/mill/trials/refusals.ts";
import { flowLimits, speedForD50, speedLimits } from "#model/mill/trials/setPoint.ts";
import { predictD50 } from "#model/mill/trials/trialFit.ts";
import { wheelCut } from "#model/mill/wheel/cut.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import { chanceBelow } from "#model/numbers/normalMixture.ts";
import { asRead } from "../../asRead.ts";
import { demoBand, demoMill, demoTrials } from "./demo.ts";

// Tables that a person reads, approved as tests/model/answers/answered.test.ts says; what stands behind them is checked below.
const sample = (path: string) =>
  readFileSync(new URL(`../../../distributions/samples/${path}`, import.meta.url), "utf8");
const curveAt = (path: string) =>
  meanCurve(readTable(sample(path), path, {}).measurements.map((m) => curveOf(m.distribution)));
const lots = ["07", "08", "09", "10", "11", "12"];
const pairs = lots.flatMap((lot) => {
  const pair = pairOfCurves(
    lot,
    curveAt(`lots/garnet-${lot}/milled.csv`),
    curveAt(`lots/garnet-${lot}/re-fired.csv`),
  );
  return pair === null ? [] : [pair];
});
const trialCurves = [2, 5, 7].map((i) => curveAt(`mill/curves/trial-${i}.csv`));
const found = fitMill(demoMill, demoTrials, { pairs, curves: trialCurves });
if (found === null) throw new Error("the demo's trials teach something");
const learned = found;
const setting = { speedRpm: 6100, flowM3PerH: 205, feedKgPerH: 9 };
const farSetting = { speedRpm: 8200, flowM3PerH: 310, feedKgPerH: 14 };
const judged = judgedWith(learned, demoBand);
const { trials: pressureTrials } = readPressureTrials(sample("mill/pressure-trials.csv"), null);
const foundRegression = pressureRegression(pressureTrials);
if (foundRegression === null) throw new Error("the demo's pressure trials teach something");
const regression = foundRegression;
const crushed = curveAt("lots/garnet-07/crushed.csv");

const parts: Readonly<Record<string, () => unknown>> = {
  "exponents and what they rest on": () => exponentsOf(demoMill, learned.fit),
  "limits of speed and flow": () => [speedLimits(learned.fit, 9000), flowLimits(learned.fit)],
  "the next trial": () => [
    nextTrial(learned.fit, setting, 9000),
    nextTrial(learned.fit, { ...setting, speedRpm: 8900 }, 9000),
  ],
  "the speed for a size": () => speedForD50(learned.fit, 2.9, setting, 9000, 0.8),
  "sizes near and far": () =>
    [setting, farSetting].map((at) => ({
      d50: predictD50(learned.fit, at, 0.95),
      warnings: warningsAt(learned.fit, true, at, 2.1),
      cut: wheelCut(demoMill, at.speedRpm, at.flowM3PerH),
    })),
  "the likeliest setting": () =>
    bestSetting(learned.thin, { growth: learned.growth, judged, feedKgPerH: 9 }, 9000),
  "the likeliest setting as milled": () =>
    bestSetting(
      learned.thin,
      { growth: null, judged: judgedWith(learned, { ...demoBand, stage: "milled" }), feedKgPerH: null },
      7000,
    ),
  "what the jets cost": () => jetCost({ ...demoMill, nozzlePressurePa: 7e5 }, 200, 9),
  "pressure in the place of speed": () => ({
    limits: pressureLimits(regression, 9),
    bar: pressureForD50(regression, { d50Um: 4.2, share: 0.5 }, { feedKgPerH: 9, ratedBar: 9 }),
  }),
};

describe("the mill's tables about the demo, as approved", () => {
  test.each(Object.keys(parts))("%s", async (name) => {
    await expect(asRead(parts[name]?.())).toMatchFileSnapshot(`answered/${name.replace(/\W+/g, "-")}.txt`);
  });
});

describe("what stands behind the tables", () => {
  const d50Of = (curve: Curve | null | undefined) => (curve == null ? null : sizeAt(curve, 0.5));

  test("the regression meets each of the demo's trials within its own scatter", () => {
    for (const trial of demoTrials) {
      const at = {
        speedRpm: trial.speedRpm,
        flowM3PerH: trial.gasFlowM3PerH ?? 190,
        feedKgPerH: trial.feedKgPerH,
      };
      const { low, high } = predictD50(learned.fit, at, 0.98);
      expect(trial.d50Um).toBeGreaterThan(low);
      expect(trial.d50Um).toBeLessThan(high);
    }
  });
  test("thinned to a few components, the regression predicts the same median and interval within 1 %", () => {
    for (const at of [setting, farSetting]) {
      const [whole, thin] = [learned.fit, learned.thin].map((fit) => predictD50(fit, at, 0.9));
      for (const part of ["low", "median", "high"] as const)
        expect(Math.abs((thin?.[part] ?? 0) / (whole?.[part] ?? 1) - 1)).toBeLessThan(0.01);
    }
  });
  test("the mean growth on re-firing is the geometric mean over the lots", () => {
    for (const percent of [10, 50, 90]) {
      const at = pairs.map(({ percents, milledUm, refiredUm }) => {
        const k = percents.indexOf(percent);
        return Math.log((refiredUm[k] ?? 0) / (milledUm[k] ?? 1));
      });
      const mean = at.reduce((sum, v) => sum + v, 0) / at.length;
      expect(learned.growth === null ? null : meanShift(learned.growth.shift, percent)).toBeCloseTo(mean, 12);
    }
  });
  test("a re-fired curve has its D10, D50 and D90 grown by the mean growth of each", () => {
    const shift = learned.growth?.shift;
    if (shift === undefined) throw new Error("the demo's lots say what re-firing adds");
    const fired = refiredCurve(crushed, shift);
    for (const percent of [10, 50, 90]) {
      const [before, after] = [sizeAt(crushed, percent / 100), sizeAt(fired, percent / 100)];
      const growth = Math.exp(meanShift(shift, percent));
      expect(Math.abs((after ?? 0) / ((before ?? 1) * growth) - 1)).toBeLessThan(0.01);
    }
  });
  test("the shape of the product has the width of the trials' curves at a tenth and nine tenths", () => {
    // The middle of the three curves' own widths, so between the narrowest and the widest.
    for (const share of [0.1, 0.9]) {
      const widths = trialCurves.map((c) => Math.log((sizeAt(c, share) ?? 1) / (sizeAt(c, 0.5) ?? 1)));
      const curve = learned.shape?.curve;
      if (curve === undefined) throw new Error("the demo's trials have whole curves");
      const own = Math.log((sizeAt(curve, share) ?? 1) / (sizeAt(curve, 0.5) ?? 1));
      expect(own).toBeGreaterThanOrEqual(Math.min(...widths) - 1e-3);
      expect(own).toBeLessThanOrEqual(Math.max(...widths) + 1e-3);
    }
  });
  test("no setting of a map is likelier in band than the likeliest, and each is a chance of its own setting", () => {
    const speeds = evenSteps(4500, 9000, 8);
    const flows = evenSteps(150, 260, 4);
    const chances = chancesOver(
      learned.thin,
      { growth: learned.growth, judged, feedKgPerH: 9 },
      speeds,
      flows,
    );
    const best =
      bestSetting(learned.thin, { growth: learned.growth, judged, feedKgPerH: 9 }, 9000)?.probability ?? 0;
    expect(Math.max(...chances.flat())).toBeLessThanOrEqual(best + 1e-9);
    for (const [i, flowM3PerH] of flows.entries())
      for (const [j, speedRpm] of speeds.entries()) {
        const at = predictedProductAt(learned.thin, { speedRpm, flowM3PerH, feedKgPerH: 9 }, learned.growth);
        expect(chances[i]?.[j]).toBe(chanceInBand(at, judged));
      }
  });
  test("the nearest trial's curve is slid along ln size to the predicted median, its shape unchanged", () => {
    const near = predictedCurve(
      trialCurves.map((curve, i) => ({ name: `${i}`, speedRpm: 5000 + 1000 * i, curve })),
      6400,
      2.8,
    );
    expect(near?.from.speedRpm).toBe(6000);
    expect(d50Of(near?.curve)).toBeCloseTo(2.8, 9);
    const own = near?.from.curve;
    for (const share of [0.1, 0.25, 0.75, 0.9])
      expect((sizeAt(near?.curve ?? crushed, share) ?? 0) / (sizeAt(own ?? crushed, share) ?? 1)).toBeCloseTo(
        2.8 / (d50Of(own) ?? 1),
        9,
      );
  });
  test("the product for a slider has the median asked for, and both ends of its interval", () => {
    const shape = {
      sharpness: 0.5,
      rateExponent: 1.1,
      fragmentKind: "power" as const,
      fragmentExponent: 1.3,
      load: { at: "cut" as const, value: 0.4 },
    };
    const whole = wholeProduct(
      tiedKernel(crushed, shape, 0.7, 8),
      shape,
      { low: 2.7, median: 3, high: 3.4, level: 0.9 },
      null,
    );
    for (const [curve, um] of [
      [whole?.finer, 2.7],
      [whole?.curve, 3],
      [whole?.coarser, 3.4],
    ] as const)
      expect(Math.abs((d50Of(curve) ?? 0) / um - 1)).toBeLessThan(1e-6);
  });
  test("a batch ground to a median has that median", () => {
    const batch = batchOf(crushed, { rateExponent: 0.9, fragmentExponent: 1.2 }, 0.8);
    const dose = doseForD50(batch, 4);
    expect(dose === null ? null : d50Of(curveAfter(batch, dose))).toBeCloseTo(4, 5);
  });
  test("at the pressure for a size, half of the runs come out finer", () => {
    const bar = pressureForD50(regression, { d50Um: 4.2, share: 0.5 }, { feedKgPerH: 9, ratedBar: 9 }) ?? 0;
    expect(chanceBelow(atPressure(regression, bar, 9), Math.log(4.2))).toBeCloseTo(0.5, 6);
  });
});

test("a share that may be all of the powder asks on its other side alone, and is judged", () => {
  const row = { limit: "belowShare", sizeUm: 2, low: 0.05, high: 1 };
  expect(judgedWith(learned, { ...demoBand, rows: [row] }).notJudged).toEqual([]);
  expect(judgedWith(learned, { ...demoBand, rows: [{ ...row, low: 0, high: 0.3 }] }).notJudged).toEqual([]);
});
