import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { curveOf, meanCurve } from "#distributions/curve.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { batchOf, curveAfter, doseForD50 } from "#model/mill/grinding/batchTime.ts";
import { jetCost } from "#model/mill/grinding/cost.ts";
import { tiedKernel } from "#model/mill/grinding/tied.ts";
import { wholeProduct } from "#model/mill/grinding/wholeProduct.ts";
import { bestSetting, chancesOver } from "#model/mill/prediction/bestSetting.ts";
import { fitMill } from "#model/mill/prediction/fittedMill.ts";
import { judgedWith } from "#model/mill/prediction/judgedRows.ts";
import { pairOfCurves, refiredCurve } from "#model/mill/prediction/refiredCurve.ts";
import {
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
import { answerText } from "../../answerText.ts";
import { demoBand, demoMill, demoTrials } from "./demo.ts";

// Read and approved as tests/model/answers/answered.test.ts tells: what no answer shows to its last digit.
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
const law = pressureRegression(pressureTrials);
const crushed = curveAt("lots/garnet-07/crushed.csv");

const parts: Readonly<Record<string, () => unknown>> = {
  "what is learned": () => ({ ...learned.fit, mill: null }),
  "the same law, thinned": () => learned.thin.posterior,
  "what re-firing adds": () => learned.aim,
  "shapes of the product": () => [learned.shape, learned.refiredShape],
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
  "chances over a map": () =>
    chancesOver(
      learned.thin,
      { aim: learned.aim, judged, feedKgPerH: 9 },
      evenSteps(4500, 9000, 8),
      evenSteps(150, 260, 4),
    ),
  "the likeliest setting": () => bestSetting(learned.thin, { aim: learned.aim, judged, feedKgPerH: 9 }, 9000),
  "the likeliest setting as milled": () =>
    bestSetting(
      learned.thin,
      { aim: null, judged: judgedWith(learned, { ...demoBand, stage: "milled" }), feedKgPerH: null },
      7000,
    ),
  "a re-fired curve": () => (learned.aim === null ? null : refiredCurve(crushed, learned.aim.shift)),
  "the nearest trial's curve": () =>
    predictedCurve(
      trialCurves.map((curve, i) => ({ name: `${i}`, speedRpm: 5000 + 1000 * i, curve })),
      6400,
      2.8,
    ),
  "the whole product for a slider": () => {
    const shape = {
      sharpness: 0.5,
      rateExponent: 1.1,
      fragmentKind: "power" as const,
      fragmentExponent: 1.3,
      load: { at: "cut" as const, value: 0.4 },
    };
    return wholeProduct(
      tiedKernel(crushed, shape, 0.7, 8),
      shape,
      { low: 2.7, median: 3, high: 3.4, level: 0.9 },
      null,
    );
  },
  "a batch after a while": () => {
    const batch = batchOf(crushed, { rateExponent: 0.9, fragmentExponent: 1.2 }, 0.8);
    const dose = doseForD50(batch, 4);
    return { dose, curve: dose === null ? null : curveAfter(batch, dose) };
  },
  "what the jets cost": () => jetCost({ ...demoMill, nozzlePressurePa: 7e5 }, 200, 9),
  "pressure in the place of speed": () => ({
    limits: law === null ? null : pressureLimits(law, 9),
    bar:
      law === null ? null : pressureForD50(law, { d50Um: 4.2, share: 0.5 }, { feedKgPerH: 9, ratedBar: 9 }),
    law,
  }),
};

describe("the mill's own numbers about the demo, as approved", () => {
  test.each(Object.keys(parts))("%s", async (name) => {
    await expect(answerText(parts[name]?.())).toMatchFileSnapshot(
      `answered/${name.replace(/\W+/g, "-")}.txt`,
    );
  });
});

test("a share that may be all of the powder asks on its other side alone, and is judged", () => {
  const row = { limit: "belowShare", sizeUm: 2, low: 0.05, high: 1 };
  expect(judgedWith(learned, { ...demoBand, rows: [row] }).notJudged).toEqual([]);
  expect(judgedWith(learned, { ...demoBand, rows: [{ ...row, low: 0, high: 0.3 }] }).notJudged).toEqual([]);
});
