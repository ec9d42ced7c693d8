import type { Curve } from "#distributions/curve.ts";
import { readHistory } from "#distributions/tables/reading/readHistory.ts";
import { historyAnswer } from "#model/answers/factors/historyAnswer.ts";
import { batchAnswer } from "#model/answers/mill/batchAnswer.ts";
import { circuitAnswer } from "#model/answers/mill/circuitAnswer.ts";
import { pressureAnswer } from "#model/answers/mill/pressureAnswer.ts";
import { productAnswer } from "#model/answers/mill/productAnswer.ts";
import { streamsAnswer } from "#model/answers/mill/streamsAnswer.ts";
import { wheelAnswer } from "#model/answers/mill/wheelAnswer.ts";
import type { WheelOptions } from "#model/answers/mill/wheelQuestion.ts";
import { reportAnswer } from "#model/answers/report/reportAnswer.ts";
import { formSentence, oddPairSentence, unseenSentence } from "#model/answers/surface/predictedBetWords.ts";
import { type SurfaceOptions, surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import { cautionsFor } from "#model/mill/cautions.ts";
import { parseCircuit } from "#model/mill/grinding/circuitFile.ts";
import { assumedCircuit, fitCircuit } from "#model/mill/grinding/fitCircuit.ts";
import { parseMill } from "#model/mill/mill.ts";
import { pairOfCurves } from "#model/mill/prediction/refiredCurve.ts";
import type { RefiringPair } from "#model/mill/prediction/refiringGrowth.ts";
import { readPressureTrials } from "#model/mill/pressure/readPressureTrials.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { whyNotCompared } from "#model/surface/bet.ts";
import { readPairs } from "#model/surface/readPairs.ts";
import { unseenFines } from "#model/surface/unseenFines.ts";
import { demoBand, demoMill, demoTrials } from "../model/mill/demo.ts";
import { curveOfRuns, densityGPerCm3, lot, lotRuns, open, powder, sample } from "./powders.ts";
import { saidBy } from "./said.ts";
import type { AnswerGroup } from "./situation.ts";

const curve = (name: string, stage: string) => curveOfRuns(lotRuns(name, stage));
const refire = ["07", "08", "09", "10", "11", "12"].flatMap(
  (name) => pairOfCurves(`lot ${name}`, curve(name, "milled"), curve(name, "re-fired")) ?? [],
);
const grown = (name: string, by: number): RefiringPair => ({
  lot: name,
  percents: [10, 50, 90],
  milledUm: [1.5, 3, 5.5],
  refiredUm: [1.5 * by, 3 * by, 5.5 * by],
});
const wheel = (
  options: WheelOptions & { readonly refire?: readonly RefiringPair[] },
  trials = demoTrials,
  mill = demoMill,
) => saidBy(wheelAnswer(mill, trials, options));

const planning: AnswerGroup = {
  answer: "Wheel plan",
  situations: [
    {
      about: "speed and target, with re-fired lots of the demo",
      said: () =>
        wheel({ speedRpm: 6000, flowM3PerH: 210, feedKgPerH: 9, targetD50Um: 3.36, band: demoBand, refire }),
    },
    {
      about: "the same without re-fired lots",
      said: () => wheel({ speedRpm: 6000, targetD50Um: 3, band: demoBand }),
    },
    {
      about: "two re-fired lots",
      said: () => wheel({ speedRpm: 6000, targetD50Um: 3.36, band: demoBand, refire: refire.slice(0, 2) }),
    },
    {
      about: "re-fired lots with an outlier",
      said: () =>
        wheel({
          speedRpm: 6000,
          band: demoBand,
          refire: [
            grown("lot A", 1.1),
            grown("lot B", 1.11),
            grown("lot C", 1.1),
            grown("lot D", 1.105),
            grown("lot E", 1.9),
          ],
        }),
    },
    {
      about: "re-fired lots that differ widely",
      said: () =>
        wheel({
          speedRpm: 6000,
          band: demoBand,
          refire: [grown("lot A", 1.02), grown("lot B", 1.15), grown("lot C", 1.3), grown("lot D", 1.45)],
        }),
    },
    {
      about: "an envelope and a limit on the span",
      said: () => wheel({ speedRpm: 6000, band: { ...demoBand, stage: "milled" } }),
    },
    { about: "no trials", said: () => wheel({ speedRpm: 6000, targetD50Um: 3, band: demoBand }, []) },
    {
      about: "trials at one speed",
      said: () =>
        wheel(
          { speedRpm: 5000 },
          demoTrials.map((t) => ({ ...t, speedRpm: 5000, d50Um: 3.5 })),
        ),
    },
    { about: "a target near the finest that the wheel reaches", said: () => wheel({ targetD50Um: 2 }) },
    { about: "a target near the slow end", said: () => wheel({ targetD50Um: 6.6 }) },
    {
      about: "a target that no speed reaches",
      said: () => [...wheel({ targetD50Um: 0.5 }), ...wheel({ targetD50Um: 30 })],
    },
    {
      about: "above the rated speed; far outside the trials",
      said: () => [
        ...wheel({ speedRpm: 9500 }),
        ...wheel({ speedRpm: 2000 }),
        ...wheel({ speedRpm: 8500, feedKgPerH: 11 }),
      ],
    },
    {
      about: "no rated speed, with and without trials",
      said: () => [
        ...wheel({ speedRpm: 6000, targetD50Um: 3 }, demoTrials, { ...demoMill, ratedSpeedRpm: null }),
        ...wheel({ speedRpm: 6000, targetD50Um: 3 }, [], { ...demoMill, ratedSpeedRpm: null }),
      ],
    },
    {
      about: "a trial that contradicts the others",
      said: () =>
        wheel(
          { speedRpm: 6000, targetD50Um: 3 },
          demoTrials.map((t, i) => (i === 3 ? { ...t, d50Um: 9 } : t)),
        ),
    },
    {
      about: "a grinding limit",
      said: () =>
        wheel({ speedRpm: 8000, targetD50Um: 2.2 }, demoTrials, { ...demoMill, grindingLimitUm: 3 }),
    },
    { about: "neither speed nor target", said: () => wheel({}) },
    {
      about: "cautions",
      said: () => [
        ...new Set(
          (["air", "nitrogen", "argon", "steam"] as const).flatMap((gas) => [
            ...cautionsFor({ ...demoMill, gas }),
            ...cautionsFor({ ...demoMill, ratedSpeedRpm: null }),
          ]),
        ),
      ],
    },
    {
      about: "a mill's file with faults",
      said: () =>
        [5, { wheelRadiusM: -1, colour: "red" }, { wheelRadiusM: 0.05, freeAreaShare: 2 }].flatMap((value) =>
          saidBy(parseMill(value, "MILL.json").problems),
        ),
    },
  ],
};

const costs = {
  d50Um: { low: 2.8, median: 3, high: 3.2, level: 0.9 },
  referenceD50Um: 3.4,
  flowM3PerH: 210,
  feedKgPerH: 9,
  finesBelowUm: 1,
  residueAboveUm: 8,
};
const coarse: Curve = { edgesUm: [300, 400], undersize: [0, 1], power: 0 };
const start: Curve = { edgesUm: [20, 40], undersize: [0, 1], power: 0 };

function product(shape: ReturnType<typeof assumedCircuit> | null, feed: Curve): readonly string[] {
  return shape === null ? [] : saidBy({ sentence: productAnswer(demoMill, shape, feed, costs)?.sentence });
}

const grinding: AnswerGroup = {
  answer: "Grinding, separators and mills without a wheel",
  situations: [
    {
      about: "the product of the demo's mill, with a whole curve",
      said: () =>
        product(fitCircuit([curve("07", "milled")], curve("07", "crushed")), curve("07", "crushed")),
    },
    {
      about: "the same, assumed",
      said: () => product(assumedCircuit(3, "broadbent-callcott"), curve("07", "crushed")),
    },
    {
      about: "a mill that over-grinds",
      said: () => {
        const shape = assumedCircuit(4);
        return product({ ...shape, shape: { ...shape.shape, load: { at: "1 µm", value: 0.35 } } }, coarse);
      },
    },
    {
      about: "the circuit of the demo",
      said: () => {
        const { circuit } = parseCircuit(JSON.parse(sample("mill/circuit.json")), null);
        return circuit === null
          ? []
          : [
              circuit,
              { ...circuit, rate: { ...circuit.rate, at1UmPerS: 50 * circuit.rate.at1UmPerS } },
              { ...circuit, rate: { ...circuit.rate, grindingLimitUm: 20 } },
            ].flatMap((c) => saidBy(circuitAnswer(c)));
      },
    },
    {
      about: "a circuit's file with faults",
      said: () =>
        [
          5,
          { colour: "red" },
          {
            ...JSON.parse(sample("mill/circuit.json")),
            cutUm: -1,
            sharpness: 3,
            fragments: { kind: "dust" },
            feedShares: [1, 2],
          },
          { ...JSON.parse(sample("mill/circuit.json")), feedEdgesUm: [3, 2], grindingLimitUm: -1 },
        ].flatMap((value) => saidBy(parseCircuit(value, "CIRCUIT.json").problems)),
    },
    {
      about: "a batch",
      said: () =>
        [null, 10, 2, 30].flatMap((targetD50Um) =>
          saidBy(batchAnswer(start, { afterMin: 5, d50AfterUm: 12, targetD50Um })),
        ),
    },
    {
      about: "a batch that did not get finer; a time of zero",
      said: () => [
        ...saidBy(batchAnswer(start, { afterMin: 5, d50AfterUm: 35, targetD50Um: null })),
        ...saidBy(batchAnswer(start, { afterMin: 0, d50AfterUm: 12, targetD50Um: null })),
      ],
    },
    {
      about: "a mill without a wheel",
      said: () => {
        const { trials } = readPressureTrials(sample("mill/pressure-trials.csv"), null);
        const ask = { pressureBar: 7, feedKgPerH: 9, targetD50Um: 3.8, ratedBar: 9 };
        return [
          ask,
          { ...ask, pressureBar: 10, targetD50Um: 1 },
          { ...ask, pressureBar: 1, ratedBar: null },
          { ...ask, pressureBar: 8.9, targetD50Um: 3.2 },
          { ...ask, pressureBar: null, targetD50Um: 5.5 },
          { pressureBar: null, feedKgPerH: null, targetD50Um: null, ratedBar: null },
        ].flatMap((a) => saidBy(pressureAnswer(trials, a)));
      },
    },
    {
      about: "a mill without a wheel and with no trial, or with trials at one pressure",
      said: () => [
        ...saidBy(pressureAnswer([], { pressureBar: 7, feedKgPerH: 9, targetD50Um: 3.8, ratedBar: 9 })),
        ...saidBy(
          pressureAnswer([], { pressureBar: null, feedKgPerH: null, targetD50Um: null, ratedBar: null }),
        ),
        ...saidBy(
          pressureAnswer(
            [4, 4.1].map((d50Um) => ({ pressureBar: 6, feedKgPerH: 8, d50Um })),
            { pressureBar: 6, feedKgPerH: 8, targetD50Um: null, ratedBar: 9 },
          ),
        ),
      ],
    },
    {
      about: "streams of a separator",
      said: () =>
        saidBy(
          streamsAnswer({
            feed: curve("08", "crushed"),
            fines: curve("08", "milled"),
            coarse: curve("08", "fired"),
            fineYield: 0.4,
          }),
        ),
    },
    {
      about: "streams that are the same powder",
      said: () =>
        saidBy(
          streamsAnswer({
            feed: curve("08", "crushed"),
            fines: curve("08", "milled"),
            coarse: curve("08", "milled"),
            fineYield: 0.4,
          }),
        ),
    },
  ],
};

const { pairs } = readPairs(sample("pairs.csv"), null);
const surface = (options: Partial<SurfaceOptions>, runs = lotRuns("07")) =>
  saidBy(surfaceAnswer(runs, { densityGPerCm3, stage: "re-fired", ...options }));
const pairsOf = (...ratios: readonly number[]): BetPair[] =>
  ratios.map((k, i) => ({
    stage: "re-fired",
    geometricM2PerG: 0.4 + 0.03 * i,
    betM2PerG: k * (0.4 + 0.03 * i),
  }));
const offset = (x: number): BetPair => ({
  stage: "re-fired",
  geometricM2PerG: x,
  betM2PerG: 0.5 + x + 0.01 * Math.sin(40 * x),
});

const areas: AnswerGroup = {
  answer: "Geometric area and predicted BET",
  situations: [
    { about: "the demo, with limits", said: () => surface({ pairs, betLow: 0.5, betHigh: 0.7 }) },
    {
      about: "a measured value as predicted, too high, too low",
      said: () => [0.61, 0.9, 0.4].flatMap((betFound) => surface({ pairs, betFound })),
    },
    {
      about: "no pair, with and without a measured value",
      said: () => [...surface({}), ...surface({ betFound: 0.6 }), ...surface({ betFound: 9 })],
    },
    { about: "one pair", said: () => surface({ pairs: pairsOf(1.3), betFound: 0.6 }) },
    { about: "pairs that scatter wildly", said: () => surface({ pairs: pairsOf(0.3, 9, 1.2) }) },
    {
      about: "pairs with an offset",
      said: () => surface({ pairs: [0.2, 0.3, 0.4, 0.5, 0.6, 0.8].map(offset) }),
    },
    {
      about: "pairs measured with another optical model",
      said: () =>
        surface({ pairs: pairs.map((p) => ({ ...p, optics: "Fraunhofer" })), now: { optics: "Mie" } }),
    },
    { about: "powder outside the classes", said: () => surface({ pairs, betFound: 0.6 }, [open()]) },
    { about: "an area that cannot be calculated", said: () => surface({}, [open("number")]) },
    {
      about: "fines that the instrument does not see",
      said: () =>
        [powder(3), powder(0.3, "run 1", 2), open()].flatMap((one) => {
          const unseen = unseenFines(one, densityGPerCm3);
          return unseen === null ? [] : [unseenSentence(unseen)];
        }),
    },
    {
      about: "the form of the calibration",
      said: () => [
        formSentence({ errors: null, form: "ratio" }),
        formSentence({ errors: { ratio: 0.04, offset: 0.05 }, form: "ratio" }),
        formSentence({ errors: { ratio: 0.12, offset: 0.04 }, form: "offset and ratio" }),
      ],
    },
    {
      about: "an outlying pair",
      said: () => {
        const { ahead } = surfaceAnswer(lotRuns("07"), {
          densityGPerCm3,
          stage: "re-fired",
          pairs,
          betFound: 0.9,
        });
        const words = ahead === null ? null : oddPairSentence(ahead);
        return words === null ? [] : [words];
      },
    },
    {
      about: "a result that is not compared",
      said: () =>
        [
          { unit: "ft²/lb", stage: "re-fired", value: 1 },
          { unit: "m²/g", stage: null, value: 1 },
          { unit: "m²/g", stage: "re-fired", value: -1 },
        ].flatMap((r) => whyNotCompared({ name: "BET area", ...r }) ?? []),
    },
  ],
};

const history = readHistory(sample("history.csv"), null);
const few = (count: number, values: readonly number[]) => ({
  lots: Array.from({ length: count }, (_, i) => `lot ${i + 1}`),
  columns: [
    { name: "D50", unit: "µm", values: values.slice(0, count) },
    { name: "temperature", unit: "°C", values: Array.from({ length: count }, () => 1560) },
  ],
});
const steady = [
  3.1, 3.2, 3.15, 3.12, 3.18, 3.14, 3.16, 3.13, 3.17, 3.15, 3.11, 3.19, 3.14, 3.16, 3.15, 3.12, 3.17, 3.13,
  3.15, 3.16,
];

const process: AnswerGroup = {
  answer: "Process: control charts and effects",
  situations: [
    {
      about: "the demo's history",
      said: () =>
        saidBy(
          historyAnswer(history, {
            of: ["d50Um", "d90Um", "betRatio"],
            factors: ["firingC", "excessPercent"],
          }),
        ),
    },
    {
      about: "twenty steady lots, one setting for all, limits of a band",
      said: () =>
        saidBy(
          historyAnswer(few(20, steady), {
            of: ["D50"],
            factors: ["temperature"],
            targets: { D50: { low: 3.12, high: 3.18 } },
          }),
        ),
    },
    {
      about: "seven lots, one outside the limits",
      said: () =>
        saidBy(
          historyAnswer(few(7, steady), {
            of: ["D50"],
            factors: ["temperature"],
            targets: { D50: { low: 3.12, high: null } },
          }),
        ),
    },
    {
      about: "three lots; a column that does not exist",
      said: () => saidBy(historyAnswer(few(3, steady), { of: ["D50", "D97"], factors: ["temperature"] })),
    },
  ],
};

const reports: AnswerGroup = {
  answer: "Report",
  situations: (["grade", "method", "full"] as const).map((report) => ({
    about: `level ${report}, lot 07 of the demo`,
    said: () => {
      const {
        svg: _drawn,
        tables: _tables,
        ...rest
      } = reportAnswer({
        lotName: "Garnet host, lot 07",
        material: "yttrium aluminium garnet",
        stage: "re-fired",
        densityGPerCm3,
        runs: report === "method" ? lot(3.3, 0.1, 2) : lotRuns("07"),
        others: [{ stage: "milled", runs: lotRuns("07", "milled") }],
        band: report === "grade" ? null : demoBand,
        ahead: surfaceAnswer(lotRuns("07"), { densityGPerCm3, stage: "re-fired", pairs }).ahead,
        report,
      });
      return saidBy(rest);
    },
  })),
};

export const millGroups: readonly AnswerGroup[] = [planning, grinding, areas, process, reports];
