import { againstAnswer } from "#model/answers/compare/againstAnswer.ts";
import { airClassificationAnswer, blendAnswer } from "#model/answers/compare/blendAnswer.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { stagesAnswer } from "#model/answers/compare/stagesAnswer.ts";
import { bandRequirement } from "#model/answers/lot/bandRequirement.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { finesAnswer } from "#model/answers/lot/finesAnswer.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { releaseCheck } from "#model/answers/lot/releaseCheck.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { sentenceOf, verdictWords } from "#model/answers/lot/verdictSentence.ts";
import type { Band } from "#model/band/band.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";
import { limitsFault } from "#model/band/limits.ts";
import { stageGap } from "#model/band/stageGap.ts";
import { demoBand } from "../model/mill/demo.ts";
import { closed, densityGPerCm3, lot, lotRuns, open, powder, runsOf, twoHumps } from "./powders.ts";
import { saidBy } from "./said.ts";
import type { AnswerGroup } from "./situation.ts";

const demoLots = ["07", "08", "09", "10", "11", "12"];
const band = (rows: Band["rows"], more: Partial<Band> = {}): Band => ({
  version: 1,
  name: "Trial band",
  stage: "milled",
  densityGPerCm3,
  rule: "two-sided",
  rows,
  envelope: null,
  ...more,
});
const d50 = (low: number | null, high: number | null, repeatabilitySd?: number) => ({
  limit: "d50Um",
  low,
  high,
  ...(repeatabilitySd === undefined ? {} : { repeatabilitySd }),
});
const three = band([
  d50(2.8, 3.2),
  { limit: "d10Um", low: 1.2, high: 2.8 },
  { limit: "d90Um", low: 5.3, high: 6.5 },
]);
const out = band([
  d50(3.5, 4),
  { limit: "d10Um", low: null, high: 1.2 },
  { limit: "d90Um", low: 7, high: null },
  { limit: "span", low: null, high: 0.5 },
  { limit: "belowShare", sizeUm: 2, low: null, high: 0.01 },
]);
const envelope = {
  sizesUm: [1, 2, 3, 6, 12],
  lowShares: [0, 0.1, 0.4, 0.85, 0.99],
  highShares: [0.02, 0.25, 0.6, 0.97, 1],
};

const checking: AnswerGroup = {
  answer: "Verdict on a lot",
  situations: [
    ...demoLots.map((name) => ({
      about: `lot ${name} of the demo, re-fired`,
      said: () => saidBy(releaseCheck(lotRuns(name), demoBand)),
    })),
    {
      about: "milled runs against a band for re-fired powder",
      said: () => [
        sentenceOf(
          verdictWords(checkAnswer(lotRuns("07", "milled"), demoBand), stageGap("milled", "re-fired")),
        ),
        sentenceOf(
          verdictWords(checkAnswer(lotRuns("07", "fired"), demoBand), stageGap("fired", "re-fired")),
        ),
        sentenceOf(verdictWords(checkAnswer(lotRuns("07"), demoBand), stageGap("re-fired", "milled"))),
        sentenceOf(verdictWords(checkAnswer(lot(3.2, 0.3), three), stageGap("reference", "milled"))),
        sentenceOf(verdictWords(checkAnswer([powder(3)], three), stageGap("crushed", "milled"))),
      ],
    },
    { about: "one run of a lot", said: () => saidBy(releaseCheck(lotRuns("08").slice(0, 1), demoBand)) },
    { about: "one run beyond several limits", said: () => saidBy(releaseCheck([powder(3)], out)) },
    {
      about: "two runs with an agreed repeatability",
      said: () => saidBy(releaseCheck(lot(3, 0.02, 2), band([d50(2.8, 3.2, 0.05)]))),
    },
    { about: "three runs well within the band", said: () => saidBy(releaseCheck(lot(3, 0.002), three)) },
    { about: "far out of band at several limits", said: () => saidBy(releaseCheck(lot(3, 0.01), out)) },
    { about: "wide scatter near a limit", said: () => saidBy(releaseCheck(lot(3.15, 0.1), three)) },
    {
      about: "guarded rule, mean inside but not its interval",
      said: () => saidBy(releaseCheck(lot(3.15, 0.1), three, { rule: "guarded" })),
    },
    {
      about: "a curve outside its envelope",
      said: () => saidBy(releaseCheck(lot(2.2, 0.02), band([], { envelope }))),
    },
    {
      about: "a curve near the edge of its envelope",
      said: () => saidBy(releaseCheck(lot(2.9, 0.3), band([], { envelope }))),
    },
    { about: "a band without limits", said: () => saidBy(releaseCheck(lot(3, 0.01), band([]))) },
    {
      about: "a limit outside the measured range",
      said: () => saidBy(releaseCheck([open()], band([{ limit: "d5Um", low: 1, high: 2 }]))),
    },
    { about: "runs measured by number", said: () => saidBy(releaseCheck([closed("number")], three)) },
    {
      about: "two runs measured by number",
      said: () => saidBy(releaseCheck([closed("number"), closed("number", "run 2")], three)),
    },
    {
      about: "a number measurement with powder outside its classes",
      said: () => saidBy(releaseCheck([open("number")], three)),
    },
    {
      about: "a band for another instrument",
      said: () =>
        saidBy(
          checkAnswer(
            lot(3, 0.01).map((run) => ({ ...run, howMeasured: { instrument: "unit B" } })),
            band([d50(2.8, 3.2)], { instrument: "unit A" }),
          ),
        ),
    },
  ],
};

const shifting: AnswerGroup = {
  answer: "Size shift needed",
  situations: [
    ...demoLots.map((name) => ({
      about: `lot ${name} of the demo, re-fired`,
      said: () => saidBy(sizeShiftAnswer(lotRuns(name), demoBand)),
    })),
    {
      about: "with the scatter of other lots",
      said: () =>
        saidBy(
          sizeShiftAnswer(lotRuns("09"), demoBand, {
            kept: demoLots.slice(0, 5).map((name) => lotRuns(name)),
          }),
        ),
    },
    { about: "one run", said: () => saidBy(sizeShiftAnswer([powder(4)], three)) },
    { about: "one run inside the band", said: () => saidBy(sizeShiftAnswer([powder(3.1)], three)) },
    { about: "well within the band", said: () => saidBy(sizeShiftAnswer(lot(3, 0.002), three)) },
    { about: "too coarse", said: () => saidBy(sizeShiftAnswer(lot(3.3, 0.02), three)) },
    {
      about: "limits that no size meets",
      said: () =>
        saidBy(sizeShiftAnswer(lot(3, 0.01), band([d50(2.8, 3.2), { limit: "span", low: null, high: 0.5 }]))),
    },
    {
      about: "limits that contradict each other at this width",
      said: () =>
        saidBy(
          sizeShiftAnswer(
            lot(3, 0.01),
            band([
              { limit: "d10Um", low: 2, high: null },
              { limit: "d90Um", low: null, high: 5 },
            ]),
          ),
        ),
    },
    {
      about: "wide scatter in the middle of narrow limits",
      said: () => saidBy(sizeShiftAnswer(lot(3, 0.2), band([d50(2.9, 3.1)]))),
    },
    {
      about: "with an envelope the curve does not clearly meet",
      said: () => saidBy(sizeShiftAnswer(lot(3, 0.2), band([d50(2.8, 3.2)], { envelope }))),
    },
  ],
};

const bands: AnswerGroup = {
  answer: "Bands",
  situations: [
    {
      about: "headings",
      said: () => [
        bandRequirement(demoBand),
        bandRequirement(band([])),
        bandRequirement(band([], { envelope })),
        bandRequirement(three),
      ],
    },
    {
      about: "a band from the runs of a reference powder",
      said: () =>
        saidBy(
          bandFromRuns(
            runsOf("reference/reference-powder.csv"),
            { name: "Reference", stage: "re-fired", densityGPerCm3 },
            { coverage: 0.9, tolerancePercent: 2 },
          ),
        ),
    },
    {
      about: "a limit entered with a fault",
      said: () =>
        [
          d50(null, null),
          d50(3, 2),
          d50(-1, 2),
          { limit: "belowShare", sizeUm: 1, low: null, high: 2 },
        ].flatMap((row) => limitsFault(row) ?? []),
    },
    {
      about: "a file with faults",
      said: () =>
        [
          5,
          { version: 1, densityGPerCm3: -1, rows: 3 },
          {
            version: 1,
            name: "b",
            stage: "milled",
            densityGPerCm3: null,
            rule: "wide",
            rows: [{ limit: "surfaceM2PerG", low: 1, high: 2 }],
            envelope: null,
          },
          {
            version: 1,
            name: "b",
            stage: "milled",
            densityGPerCm3: 4,
            rule: "simple",
            rows: [
              { limit: "d50Um", low: 3, high: 2 },
              { limit: "belowShare", low: 0, high: 1 },
            ],
            envelope: { sizesUm: [1], lowShares: [0], highShares: [1] },
          },
        ].flatMap((value) => saidBy(parseBand(value, "BAND.json").problems)),
    },
  ],
};

const describing: AnswerGroup = {
  answer: "Sizes, runs, fits and fines of a lot",
  situations: [
    {
      about: "sizes with powder outside the classes",
      said: () => saidBy(describeAnswer([open()], { densityGPerCm3, percentiles: [5, 50, 95] })),
    },
    {
      about: "a percentile within, the span not",
      said: () => saidBy(describeAnswer([open()], { densityGPerCm3, percentiles: [50] })),
    },
    {
      about: "sizes without a density, by number",
      said: () => saidBy(describeAnswer(lot(3, 0.1), { as: "number" })),
    },
    {
      about: "sizes by number, which powder outside the classes forbids",
      said: () => saidBy(describeAnswer([open()], { as: "number" })),
    },
    {
      about: "a number measurement without a full range",
      said: () => saidBy(describeAnswer([open("number")], { densityGPerCm3 })),
    },
    {
      about: "a lot of one run beside lots of many",
      said: () =>
        saidBy(describeAnswer([...lot(3, 0.1, 12), { ...powder(3), file: "other.csv" }], { densityGPerCm3 })),
    },
    { about: "repeat runs of the demo", said: () => saidBy(runsAnswer(lotRuns("07"))) },
    { about: "one run", said: () => saidBy(runsAnswer([powder(3)])) },
    { about: "five runs within the limits", said: () => saidBy(runsAnswer(lot(20, 0.01, 5))) },
    {
      about: "five runs, coarser from run to run",
      said: () => saidBy(runsAnswer([20, 22, 24, 26, 28].map((d, i) => powder(d, `run ${i + 1}`)))),
    },
    {
      about: "five runs, finer from run to run",
      said: () => saidBy(runsAnswer([28, 26, 24, 22, 20].map((d, i) => powder(d, `run ${i + 1}`)))),
    },
    {
      about: "D10 alone moves",
      said: () =>
        [false, true].flatMap((isRising) => {
          const gsds = [1.5, 1.52, 1.54, 1.56, 1.58];
          const jitter = [1, 1.001, 0.999, 1.0005, 1];
          const runs = (isRising ? gsds.toReversed() : gsds).map((gsd, i) =>
            powder((5 * (jitter[i] ?? 1)) / gsd ** 1.2815515655, `run ${i + 1}`, gsd),
          );
          return saidBy(runsAnswer(runs));
        }),
    },
    { about: "an outlier", said: () => saidBy(runsAnswer([...lot(3, 0.005, 6), powder(3.6, "run 7")])) },
    { about: "a copied run", said: () => saidBy(runsAnswer([...lot(3, 0.05, 4), powder(2.925, "run 5")])) },
    {
      about: "a fit of the demo, log-normal and mixture",
      said: () => saidBy(fitAnswer(lotRuns("07"), { families: ["log-normal", "mixture"] })),
    },
    {
      about: "a fit of one run with three families",
      said: () =>
        saidBy(
          fitAnswer(lotRuns("07").slice(0, 1), { families: ["log-normal", "rosin-rammler", "log-logistic"] }),
        ),
    },
    {
      about: "one family",
      said: () => saidBy(fitAnswer(lotRuns("07"), { families: ["gates-gaudin-schuhmann"] })),
    },
    {
      about: "a powder with two humps, one run",
      said: () => saidBy(fitAnswer([twoHumps("run 1")], { families: ["log-normal", "mixture"] })),
    },
    {
      about: "a powder with two humps, three runs",
      said: () =>
        saidBy(
          fitAnswer([twoHumps("run 1"), twoHumps("run 2", 6.05), twoHumps("run 3", 5.95)], {
            families: ["log-normal", "mixture"],
          }),
        ),
    },
    {
      about: "areas and number sizes of a Rosin–Rammler fit",
      said: () => saidBy(fitAnswer([open()], { families: ["rosin-rammler"], as: "number", densityGPerCm3 })),
    },
    {
      about: "too few class edges for a fit",
      said: () => saidBy(fitAnswer([closed()], { families: ["mixture"] })),
    },
    {
      about: "fine fractions of the demo",
      said: () => saidBy(finesAnswer(lotRuns("07", "milled"), { densityGPerCm3 })),
    },
    {
      about: "fine fractions with powder below the classes",
      said: () => saidBy(finesAnswer([open()], { densityGPerCm3 })),
    },
    {
      about: "fine fractions that cannot be calculated",
      said: () => saidBy(finesAnswer([open("number")], { densityGPerCm3 })),
    },
  ],
};

const stage = (name: string, runs: ReturnType<typeof lot>, massG?: number) => ({
  stage: name,
  runs,
  ...(massG === undefined ? {} : { massG }),
});

const comparing: AnswerGroup = {
  answer: "Comparison of stages and lots",
  situations: [
    {
      about: "two milled lots of the demo",
      said: () =>
        saidBy(compareAnswer(lotRuns("07", "milled"), lotRuns("08", "milled"), { belowUm: [1, 2] })),
    },
    {
      about: "milled and re-fired",
      said: () => saidBy(compareAnswer(lotRuns("07", "milled"), lotRuns("07"), { belowUm: [1] })),
    },
    { about: "a powder with itself", said: () => saidBy(compareAnswer(lot(3, 0.1), lot(3, 0.1))) },
    {
      about: "a wider powder of the same median",
      said: () => saidBy(compareAnswer([powder(3)], [powder(3, "wide", 2)])),
    },
    {
      about: "volume and number, one side cut off",
      said: () => saidBy(compareAnswer([closed("number")], [open()], { belowUm: [0.5] })),
    },
    ...["07", "08", "09"].map((name) => ({
      about: `the stages of lot ${name} of the demo, with masses`,
      said: () =>
        saidBy(
          stagesAnswer(
            ["fired", "crushed", "milled", "re-fired"].map((s, i) => ({
              stage: s,
              runs: lotRuns(name, s),
              massG: 500 - 10 * i,
            })),
            { densityGPerCm3, belowUm: [1, 2] },
          ),
        ),
    })),
    {
      about: "stages that do not differ",
      said: () =>
        saidBy(
          stagesAnswer([stage("milled", lot(3, 0.1)), stage("re-fired", lot(3.001, 0.1))], {
            densityGPerCm3,
          }),
        ),
    },
    {
      about: "growth of all sizes on re-firing",
      said: () =>
        saidBy(
          stagesAnswer([stage("milled", lot(3, 0.01)), stage("re-fired", lot(3.3, 0.01))], {
            densityGPerCm3,
          }),
        ),
    },
    {
      about: "re-firing that goes back half the way, then stages of one run each without density",
      said: () => [
        ...saidBy(
          stagesAnswer([
            stage("fired", lot(8, 0.02)),
            stage("milled", lot(2, 0.01)),
            stage("re-fired", lot(4, 0.01)),
          ]),
        ),
        ...saidBy(
          stagesAnswer(
            [
              stage("fired", [powder(8)]),
              stage("sieved", [powder(6)]),
              stage("milled", [powder(2)]),
              stage("re-fired", [powder(1.9)]),
            ],
            { belowUm: [0.01] },
          ),
        ),
      ],
    },
    {
      about: "re-firing that makes the powder finer still",
      said: () =>
        saidBy(
          stagesAnswer(
            [stage("fired", lot(8, 0.02)), stage("milled", lot(2, 0.01)), stage("re-fired", lot(1.8, 0.01))],
            { densityGPerCm3 },
          ),
        ),
    },
    {
      about: "a stage that cannot be converted",
      said: () => saidBy(stagesAnswer([stage("fired", lot(8, 0.02)), stage("milled", [open("number")])])),
    },
    {
      about: "lots of the demo against the reference",
      said: () =>
        saidBy(
          againstAnswer([
            { name: "reference", runs: runsOf("reference/reference-powder.csv") },
            ...demoLots.map((name) => ({ name: `lot ${name}`, runs: lotRuns(name) })),
          ]),
        ),
    },
    {
      about: "against a reference of one run",
      said: () =>
        saidBy(
          againstAnswer([
            { name: "reference", runs: [powder(3)] },
            { name: "lot A", runs: lot(3.2, 0.01) },
          ]),
        ),
    },
    {
      about: "a lot like the reference",
      said: () =>
        saidBy(
          againstAnswer([
            { name: "reference", runs: lot(3, 0.1, 5) },
            { name: "lot A", runs: lot(3.001, 0.1) },
          ]),
        ),
    },
    {
      about: "a reference that cannot be converted",
      said: () =>
        saidBy(
          againstAnswer([
            { name: "reference", runs: [open("number")] },
            { name: "lot A", runs: lot(3, 0.1) },
          ]),
        ),
    },
  ],
};

const blending: AnswerGroup = {
  answer: "Blend and classification",
  situations: [
    {
      about: "three lots of the demo",
      said: () =>
        saidBy(
          blendAnswer(
            ["07", "09", "11"].map((name) => ({ name: `lot ${name}`, runs: lotRuns(name) })),
            demoBand,
          ),
        ),
    },
    {
      about: "a fine and a coarse lot",
      said: () =>
        saidBy(
          blendAnswer(
            [
              { name: "fine", runs: lot(2, 0.01) },
              { name: "coarse", runs: lot(4, 0.01) },
            ],
            band([d50(2.8, 3)]),
          ),
        ),
    },
    {
      about: "a good and a bad lot",
      said: () =>
        saidBy(
          blendAnswer(
            [
              { name: "good", runs: lot(2.9, 0.01) },
              { name: "bad", runs: lot(9, 0.01) },
            ],
            band([d50(2.8, 3), { limit: "d90Um", low: 5, high: 5.5 }]),
          ),
        ),
    },
    {
      about: "two lots that are both too coarse, one run each",
      said: () =>
        saidBy(
          blendAnswer(
            [
              { name: "A", runs: [powder(5)] },
              { name: "B", runs: [powder(6)] },
            ],
            band([d50(2.8, 3)]),
          ),
        ),
    },
    {
      about: "a lot that cannot be converted; limits that are not known",
      said: () => [
        ...saidBy(
          blendAnswer(
            [
              { name: "A", runs: [open("number")] },
              { name: "B", runs: lot(3, 0.1) },
            ],
            band([d50(2.8, 3)]),
          ),
        ),
        ...saidBy(
          blendAnswer(
            [
              { name: "A", runs: [open()] },
              { name: "B", runs: [open()] },
            ],
            band([{ limit: "d5Um", low: 1, high: 2 }]),
          ),
        ),
      ],
    },
    {
      about: "fines removed from a milled lot of the demo",
      said: () =>
        saidBy(
          airClassificationAnswer(lotRuns("07", "milled"), {
            cut: "fines",
            atUm: 1.2,
            sharpness: 0.55,
            band: demoBand,
          }),
        ),
    },
    {
      about: "the coarse end removed, with and without a band",
      said: () => [
        ...saidBy(
          airClassificationAnswer(lot(3, 0.01), { cut: "coarse", atUm: 3, band: band([d50(2.8, 3.2)]) }),
        ),
        ...saidBy(
          airClassificationAnswer(lot(3.6, 0.01), { cut: "coarse", atUm: 6, band: band([d50(2.8, 3.5)]) }),
        ),
        ...saidBy(
          airClassificationAnswer(lot(9, 0.01), { cut: "coarse", atUm: 12, band: band([d50(2.8, 3.5)]) }),
        ),
        ...saidBy(airClassificationAnswer(lot(3, 0.01), { cut: "coarse", atUm: 6 })),
        ...saidBy(airClassificationAnswer([open("number")], { cut: "fines", atUm: 6 })),
      ],
    },
  ],
};

export const lotGroups: readonly AnswerGroup[] = [checking, shifting, bands, describing, comparing, blending];
