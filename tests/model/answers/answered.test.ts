import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { curveOf, meanCurve } from "#distributions/curve.ts";
import type { NamedMeasurement, Quantity } from "#distributions/sizeDistribution.ts";
import { readHistory } from "#distributions/tables/reading/readHistory.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { againstAnswer } from "#model/answers/compare/againstAnswer.ts";
import { airClassificationAnswer, blendAnswer } from "#model/answers/compare/blendAnswer.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { stagesAnswer } from "#model/answers/compare/stagesAnswer.ts";
import { historyAnswer } from "#model/answers/factors/historyAnswer.ts";
import { lotHistory } from "#model/answers/factors/lotHistory.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { finesAnswer } from "#model/answers/lot/finesAnswer.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { inClassEffects } from "#model/answers/lot/inClassEffects.ts";
import { releaseCheck } from "#model/answers/lot/releaseCheck.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { batchAnswer } from "#model/answers/mill/batchAnswer.ts";
import { circuitAnswer } from "#model/answers/mill/circuitAnswer.ts";
import { pressureAnswer } from "#model/answers/mill/pressureAnswer.ts";
import { productAnswer } from "#model/answers/mill/productAnswer.ts";
import { streamsAnswer } from "#model/answers/mill/streamsAnswer.ts";
import { wheelAnswer } from "#model/answers/mill/wheelAnswer.ts";
import { reportAnswer } from "#model/answers/report/reportAnswer.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";
import { parseCircuit } from "#model/mill/grinding/circuitFile.ts";
import { assumedCircuit, fitCircuit } from "#model/mill/grinding/fitCircuit.ts";
import { pairOfCurves } from "#model/mill/prediction/refiredCurve.ts";
import { readPressureTrials } from "#model/mill/pressure/readPressureTrials.ts";
import { readPairs } from "#model/surface/readPairs.ts";
import { asRead } from "../../asRead.ts";
import { demoBand, demoMill, demoTrials } from "../mill/demo.ts";

// Every answer about the demo's powder was read and approved as it stands in tests/model/answers/answered/, as a person
// reads it: tables, intervals and sentences. None of these is an outside check: they show which numbers a change of the code
// moves. One that is moved on purpose is read again and written anew:
// npx vitest run --config tests/vitest.config.ts answered --update
const sample = (path: string) =>
  readFileSync(new URL(`../../../distributions/samples/${path}`, import.meta.url), "utf8");
const runsOf = (path: string): readonly NamedMeasurement[] => readTable(sample(path), path, {}).measurements;
const stage = (lot: string, name: string) => runsOf(`lots/garnet-${lot}/${name}.csv`);
const curveOfStage = (lot: string, name: string) =>
  meanCurve(stage(lot, name).map(({ distribution }) => curveOf(distribution)));
const densityGPerCm3 = 4.55;

const answers: Readonly<Record<string, () => unknown>> = {
  "band check, milled": () => releaseCheck(stage("07", "milled"), demoBand),
  "band check, re-fired": () => releaseCheck(stage("09", "re-fired"), demoBand),
  "band check of one run": () => releaseCheck(stage("08", "re-fired").slice(0, 1), demoBand),
  "band from the reference": () =>
    bandFromRuns(
      runsOf("reference/reference-powder.csv"),
      { name: "Reference", stage: "re-fired", densityGPerCm3 },
      { coverage: 0.9, tolerancePercent: 2 },
    ),
  "fits of the fired powder": () => fitAnswer(stage("07", "fired"), { densityGPerCm3 }),
  "fits of the milled powder": () => fitAnswer(stage("08", "milled"), { as: "number" }),
  "three log-normals": () =>
    fitAnswer(stage("09", "re-fired"), { families: ["mixture"], components: 3, points: "all" }),
  "repeat runs": () => runsAnswer(stage("07", "re-fired")),
  ...Object.fromEntries(
    (["number", "length", "surface", "volume"] satisfies Quantity[]).map((as) => [
      `sizes by ${as}`,
      () => describeAnswer(stage("07", "milled"), { as, densityGPerCm3 }),
    ]),
  ),
  "in-class rules": () => inClassEffects(stage("07", "milled"), densityGPerCm3),
  "fine fractions": () => finesAnswer(stage("07", "milled"), { densityGPerCm3, shapeFactor: 1.2 }),
  "surface ahead": () =>
    surfaceAnswer(stage("07", "re-fired"), {
      densityGPerCm3,
      pairs: readPairs(sample("pairs.csv"), null).pairs,
      stage: "re-fired",
      betLow: 0.5,
      betHigh: 0.7,
      betFound: 0.9,
    }),
  "stages of a lot": () =>
    stagesAnswer(
      ["fired", "crushed", "milled", "re-fired"].map((name, i) => ({
        stage: name,
        runs: stage("07", name),
        massG: 500 - 10 * i,
      })),
      { densityGPerCm3, belowUm: [0.5, 1, 2] },
    ),
  "two lots compared": () => compareAnswer(stage("07", "milled"), stage("08", "milled"), { belowUm: [1, 2] }),
  "lots against the reference": () =>
    againstAnswer([
      { name: "reference", runs: runsOf("reference/reference-powder.csv") },
      ...["07", "08", "09", "10", "11", "12"].map((lot) => ({ name: lot, runs: stage(lot, "re-fired") })),
    ]),
  "a blend": () =>
    blendAnswer(
      ["07", "09", "11"].map((lot) => ({ name: lot, runs: stage(lot, "re-fired") })),
      demoBand,
    ),
  "fines cut off": () =>
    airClassificationAnswer(stage("07", "milled"), {
      cut: "fines",
      atUm: 1.2,
      sharpness: 0.55,
      band: demoBand,
    }),
  "what would bring it in": () =>
    sizeShiftAnswer(stage("09", "re-fired"), demoBand, {
      kept: [stage("07", "re-fired"), stage("08", "re-fired")],
    }),
  "history of lots": () =>
    historyAnswer(readHistory(sample("history.csv"), null), {
      of: ["d50Um", "d90Um", "betRatio"],
      factors: ["firingC", "excessPercent"],
    }),
  "history of kept lots": () =>
    lotHistory(
      ["07", "08", "09", "10"].map((lot, i) => ({
        name: lot,
        densityGPerCm3,
        runs: stage(lot, "re-fired"),
        settings: [{ stage: "fired", name: "temperature", value: String(1560 + 10 * i), unit: "°C" }],
        results: [{ stage: "re-fired", name: "BET", value: 0.55 + 0.01 * i, unit: "m²/g" }],
      })),
      { stage: "re-fired", belowUm: 1 },
    ),
  "wheel plan": () => wheelAnswer(demoMill, demoTrials, { ...plan, refire: refired }),
  "wheel plan by whole curves": () =>
    wheelAnswer(demoMill, demoTrials, {
      ...plan,
      refire: refired,
      curves: ["07", "08", "09"].map((lot) => curveOfStage(lot, "milled")),
    }),
  "wheel plan without re-firing": () => wheelAnswer(demoMill, demoTrials, plan),
  "the whole product": () => {
    const found = fitCircuit([curveOfStage("07", "milled")], curveOfStage("07", "crushed"));
    if (found === null) throw new Error("the demo's curve can be followed");
    const product = productAnswer(demoMill, found, curveOfStage("07", "crushed"), costs);
    return { found, product, thrownBack: [0.5, 1, 1.5, 2, 3, 6].map((um) => product?.thrownBack(um)) };
  },
  "the whole product, assumed": () => {
    const assumed = assumedCircuit(3, "broadbent-callcott");
    return { assumed, product: productAnswer(demoMill, assumed, curveOfStage("07", "crushed"), costs) };
  },
  "a circuit": () => {
    const { circuit } = parseCircuit(JSON.parse(sample("mill/circuit.json")), null);
    if (circuit === null) throw new Error("the demo's circuit must read");
    return circuitAnswer(circuit);
  },
  "a batch": () =>
    batchAnswer(curveOfStage("07", "crushed"), { afterMin: 20, d50AfterUm: 5, targetD50Um: 3 }),
  "a mill without a wheel": () =>
    pressureAnswer(readPressureTrials(sample("mill/pressure-trials.csv"), null).trials, {
      pressureBar: 7,
      feedKgPerH: 9,
      targetD50Um: 3.8,
      ratedBar: 9,
    }),
  "streams of a separator": () =>
    streamsAnswer({
      feed: curveOfStage("08", "crushed"),
      fines: curveOfStage("08", "milled"),
      coarse: curveOfStage("08", "fired"),
      fineYield: 0.4,
    }),
  "the full sheet": () => {
    const {
      svg: _drawn,
      ledger: _bars,
      ...words
    } = reportAnswer({
      lotName: "Garnet host, lot 07",
      material: "yttrium aluminium garnet",
      stage: "re-fired",
      densityGPerCm3,
      runs: stage("07", "re-fired"),
      others: [{ stage: "milled", runs: stage("07", "milled") }],
      band: demoBand,
      ahead: null,
      report: "full",
    });
    return words;
  },
};

const plan = {
  speedRpm: 6000,
  flowM3PerH: 210,
  feedKgPerH: 9,
  targetD50Um: 3.36,
  band: demoBand,
};
const refired = ["07", "08", "09", "10", "11", "12"].flatMap((lot) => {
  const pair = pairOfCurves(lot, curveOfStage(lot, "milled"), curveOfStage(lot, "re-fired"));
  return pair === null ? [] : [pair];
});
const costs = {
  d50Um: { low: 2.8, median: 3, high: 3.2, level: 0.9 },
  referenceD50Um: 3.4,
  flowM3PerH: 210,
  feedKgPerH: 9,
  finesBelowUm: 1,
  residueAboveUm: 8,
};

describe("answers about the demo's powder, as approved", () => {
  test.each(Object.keys(answers))("%s", async (name) => {
    await expect(asRead(answers[name]?.())).toMatchFileSnapshot(`answered/${name.replace(/\W+/g, "-")}.txt`);
  });
});
