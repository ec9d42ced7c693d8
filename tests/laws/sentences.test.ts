import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { type Curve, curveOf, meanCurve } from "#distributions/curve.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { readHistory } from "#distributions/tables/reading/readHistory.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { againstAnswer } from "#model/answers/compare/againstAnswer.ts";
import { airClassificationAnswer, blendAnswer } from "#model/answers/compare/blendAnswer.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { stagesAnswer } from "#model/answers/compare/stagesAnswer.ts";
import { historyAnswer } from "#model/answers/factors/historyAnswer.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { finesAnswer } from "#model/answers/lot/finesAnswer.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { batchAnswer } from "#model/answers/mill/batchAnswer.ts";
import { circuitAnswer } from "#model/answers/mill/circuitAnswer.ts";
import { pressureAnswer } from "#model/answers/mill/pressureAnswer.ts";
import { productAnswer } from "#model/answers/mill/productAnswer.ts";
import { streamsAnswer } from "#model/answers/mill/streamsAnswer.ts";
import { wheelAnswer } from "#model/answers/mill/wheelAnswer.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import { readBand } from "#model/band/bandFile.ts";
import { noisePoints } from "#model/fit/noise.ts";
import { parseCircuit } from "#model/mill/grinding/circuitFile.ts";
import { assumedCircuit, fitCircuit } from "#model/mill/grinding/fitCircuit.ts";
import { readPairs } from "#model/surface/readPairs.ts";
import { figures } from "#model/words/wording.ts";
import { demoMill, demoTrials } from "../model/mill/demo.ts";

const sample = (path: string) =>
  readFileSync(new URL(`../../distributions/samples/${path}`, import.meta.url), "utf8");
const runsOf = (path: string) => readTable(sample(path), path, {}).measurements;
const curvesOf = (path: string) => runsOf(path).map((m) => curveOf(m.distribution));
const lot = (name: string, stage = "re-fired") => runsOf(`lots/garnet-${name}/${stage}.csv`);
const { band } = readBand(sample("bands/garnet-target.json"), null);
if (band === null) throw new Error("the demo's band must read");

/** Every number of a record but those of long lists, which hold any number somewhere. */
function numbersOf(value: unknown): number[] {
  if (typeof value === "number") return [value];
  if (typeof value === "string") return [...value.matchAll(/\d+(?:\.\d+)?/g)].map(Number);
  if (typeof value !== "object" || value === null) return [];
  if (Array.isArray(value) && value.length > 12) return [];
  // Keys such as 10 and 90 are per cents, and d50Um names one.
  return Object.entries(value).flatMap(([key, part]) =>
    key === "sentence" || key === "words"
      ? []
      : [...(Array.isArray(value) ? [] : numbersOf(key)), ...numbersOf(part)],
  );
}

/**
 * A number in a sentence is a number of the record beside it or of what was asked, in two or three figures, as it stands,
 * in per cent, or as a difference from a whole: whoever reads the sentence and whoever reads the record know the same.
 */
function expectOwn(sentence: string, ...from: readonly unknown[]): void {
  const own = new Set<string>();
  for (const v of from.flatMap(numbersOf))
    for (const of of [v, 100 * v, 100 * (v - 1), 100 * (1 - v), 50 * (1 - v), 50 * (1 + v)])
      for (const digits of [2, 3]) {
        own.add(figures(Math.abs(of), digits));
        own.add(String(Math.round(Math.abs(of))));
        own.add(String(Math.abs(of)));
        own.add(Math.round(Math.abs(of)).toLocaleString("en-GB"));
      }
  expect(sentence).not.toMatch(/NaN|undefined|Infinity/);
  // Standards, units with a figure in them and the names of means are no numbers.
  const bare = sentence.replace(
    /ISO[ -]\d+(-\d+)?|D\[\d,\d\]|D\d+|m[²³]|over 99 %|under 1 %|[Ll]ot \d+|garnet-\d+/g,
    " ",
  );
  for (const [number] of bare.matchAll(/\d[\d,]*(?:\.\d+)?/g))
    expect(own, `${number} in: ${sentence}`).toContain(number);
}

describe("every number in a sentence stands beside it", () => {
  const lots = ["07", "08", "09"];
  test.each(lots)("check and rescue of lot %s", (name) => {
    const answer = checkAnswer(lot(name), band);
    expectOwn(answer.sentence, answer, band.rows);
    const rescue = sizeShiftAnswer(lot(name), band);
    // The least single chance is the one that the verdict gives.
    expectOwn(rescue?.sentence ?? "", rescue, answer);
  });
  test("compare, stages, runs", () => {
    const compared = compareAnswer(lot("07", "milled"), lot("07"), { belowUm: [1, 2] });
    expectOwn(compared.sentence, compared);
    const staged = stagesAnswer(
      ["fired", "crushed", "milled", "re-fired"].map((stage) => ({
        stage,
        runs: lot("09", stage),
        humps: "one hump" as const,
      })),
      { densityGPerCm3: 4.55, belowUm: [1] },
    );
    expectOwn(staged.sentence, staged.gainLost, staged.steps);
    for (const step of staged.steps) expectOwn(step.sentence, step);
    const scattered = runsAnswer(lot("08"));
    expectOwn(scattered.sentence, scattered.lots);
  });
  test("what is said of each measurement", () => {
    const open = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2, 4],
      upperUm: [2, 4, 8],
      shares: [0.3, 0.4, 0.07],
      belowShare: 0.12,
      aboveShare: 0.11,
    });
    const one = { file: null, name: "open", distribution: open };
    for (const [runs, asked] of [
      [lot("07").slice(0, 1), { as: "number" }],
      [[one], { densityGPerCm3: 4.55, percentiles: [5, 50, 95] }],
      [[one], { as: "number" }],
    ] as const)
      for (const p of describeAnswer(runs, asked).problems)
        expectOwn(
          `${p.message} ${p.found ?? ""}`,
          describeAnswer(runs, asked).measurements,
          open,
          runs[0]?.distribution.belowShare,
          0.23,
          0.0005,
          asked,
        );
    const number = {
      ...one,
      distribution: sizeDistribution({ ...open, quantity: "number", measuredAs: "number" }),
    };
    for (const p of checkAnswer([number], band).problems) expectOwn(p.message, 0.23, 0.0005, p);
  });
  test("surface and fines", () => {
    const { pairs } = readPairs(sample("pairs.csv"), null);
    const area = surfaceAnswer(lot("07"), {
      densityGPerCm3: 4.55,
      pairs,
      stage: "re-fired",
      betLow: 0.3,
      betHigh: 0.6,
      betFound: 0.9,
    });
    const [first] = area.measurements;
    let carried = 0;
    const half = first?.bySize.find((c) => {
      carried += c.share;
      return carried >= 0.5;
    });
    expectOwn(area.sentence, area.overRuns, area.ahead, half, carried);
    const fine = finesAnswer(lot("07"), { densityGPerCm3: 4.55 });
    expectOwn(fine.sentence, fine.overRuns);
  });
  test("fit", () => {
    const runs = lot("07").slice(0, 2);
    for (const families of [
      ["log-normal", "mixture"],
      ["log-normal", "rosin-rammler", "log-logistic"],
      ["gates-gaudin-schuhmann"],
    ] as const) {
      const answer = fitAnswer(runs, { families });
      expectOwn(answer.sentence, answer.ranking, answer.humps, noisePoints(runs));
    }
  });
  test("blend, scalp, against, history", () => {
    const named = lots.map((name) => ({ name: `lot ${name}`, runs: lot(name) }));
    const blend = blendAnswer(named.slice(1), band);
    expectOwn(blend.sentence, blend.shares, blend.chance);
    const asked = { cut: "coarse", atUm: 6, sharpness: 0.7, band } as const;
    const scalped = airClassificationAnswer(lot("09"), asked);
    expectOwn(scalped.sentence, { ...scalped, kept: null }, asked.atUm, asked.sharpness);
    const against = againstAnswer(named);
    expectOwn(against.sentence, against.others, against.noise);
    const history = readHistory(sample("history.csv"), null);
    const entered = historyAnswer(history, { of: ["d50Um"], factors: history.columns.map((c) => c.name) });
    expectOwn(
      entered.sentence,
      entered.effects,
      entered.charts.map((c) => ({ ...c.chart, lots: c.lots.length })),
      history.lots.map((_, i) => i),
    );
  });
  test("wheel", () => {
    for (const asked of [
      { speedRpm: 6000, targetD50Um: 3, band },
      { speedRpm: 9500 },
      { targetD50Um: 0.5 },
    ]) {
      const answer = wheelAnswer(demoMill, demoTrials, asked);
      expectOwn(
        answer.sentence.replace(/\d+ % (?:of runs|range)/g, ""),
        { ...answer, warnings: [] },
        asked,
        (answer.d50Um?.median ?? 1) / (answer.cutUm ?? 1),
        demoTrials.length,
        // A speed that is advised is rounded to three figures.
        numbersOf(answer.speedRpm).map((rpm) => Number(rpm.toPrecision(3))),
      );
    }
  });
  test("circuit, product, batch, pressure, streams", () => {
    const { circuit } = parseCircuit(JSON.parse(sample("mill/circuit.json")), null);
    if (circuit === null) throw new Error("the demo's circuit must read");
    const answer = circuitAnswer(circuit);
    expectOwn(answer.sentence, { ...answer, edgesUm: [], shares: [] });
    const feed = meanCurve(curvesOf("lots/garnet-07/crushed.csv"));
    const fitted =
      fitCircuit(
        [2, 5, 7].flatMap((i) => curvesOf(`mill/curves/trial-${i}.csv`)),
        feed,
      ) ?? assumedCircuit(4);
    const asked = {
      d50Um: { median: 3, low: 2.8, high: 3.2, level: 0.9 },
      referenceD50Um: 3.4,
      flowM3PerH: 190,
      feedKgPerH: 8,
      finesBelowUm: 1,
      residueAboveUm: 10,
    };
    const coarse: Curve = { edgesUm: [300, 400], undersize: [0, 1], power: 0 };
    const hard = { ...fitted, shape: { ...fitted.shape, load: { at: "1 µm" as const, value: 0.35 } } };
    for (const [shape, from] of [
      [fitted, feed],
      [assumedCircuit(4), coarse],
      [hard, coarse],
    ] as const) {
      const product = productAnswer(demoMill, shape, from, asked);
      if (product === null) throw new Error("the demo must have a product");
      expectOwn(
        product.sentence,
        { ...product, product: null, finer: null, coarser: null, held: null },
        shape.rmsPoints,
        asked,
      );
    }
    const start: Curve = { edgesUm: [20, 40], undersize: [0, 1], power: 0 };
    for (const targetD50Um of [null, 10, 2, 1]) {
      const ask = { afterMin: 5, d50AfterUm: 12, targetD50Um };
      const batch = batchAnswer(start, ask);
      expectOwn(
        batch.sentence,
        ask,
        batch.rateAt1UmPerMin,
        batch.minutesToTarget,
        (batch.minutesToTarget ?? 0) / 5,
        1,
        1.4,
      );
    }
    const none = batchAnswer(start, { afterMin: 5, d50AfterUm: 35, targetD50Um: null });
    expectOwn(none.sentence, 5, 35, Math.sqrt(800));
    const trials = [4, 5, 6, 8].map((pressureBar) => ({
      pressureBar,
      feedKgPerH: 8,
      d50Um: 10 * pressureBar ** -0.6,
    }));
    for (const ask of [
      { pressureBar: 7, feedKgPerH: 8, targetD50Um: 3.2, ratedBar: 9 },
      { pressureBar: 10, feedKgPerH: null, targetD50Um: 1, ratedBar: 9 },
    ]) {
      const pressed = pressureAnswer(trials, ask);
      expectOwn(pressed.sentence, pressed, ask, 0.9, 1.5);
    }
    const parted = streamsAnswer({
      feed,
      fines: meanCurve(curvesOf("mill/curves/trial-2.csv")),
      coarse: meanCurve(curvesOf("lots/garnet-07/fired.csv")),
      fineYield: 0.3,
    });
    const [a = 0, b = 0, c = 0] = parted.efficiency?.standardErrors ?? [];
    expectOwn(
      [parted.sentence, ...parted.warnings].join(" "),
      parted.efficiency,
      { ...parted.reconciled, edgesUm: [], feed: [], fines: [], coarse: [], thrownBack: [] },
      a * (parted.efficiency?.cutUm ?? 0),
      b,
      c,
      parted.worstClassUm,
    );
  });
});
