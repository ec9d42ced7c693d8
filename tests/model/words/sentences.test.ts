import { describe, expect, test } from "vitest";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { geometricSurface, meanDiameterUm } from "#distributions/moments.ts";
import {
  inClassRules,
  type NamedMeasurement,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { describeAnswer } from "#model/answers/lot/describeAnswer.ts";
import { finesAnswer } from "#model/answers/lot/finesAnswer.ts";
import { inClassEffects } from "#model/answers/lot/inClassEffects.ts";
import { releaseCheck } from "#model/answers/lot/releaseCheck.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { surfaceAnswer } from "#model/answers/surface/surfaceAnswer.ts";
import type { Band } from "#model/band/band.ts";

const edges = Array.from({ length: 61 }, (_, i) => 0.1 * 1000 ** (i / 60));
function run(medianUm: number, name = "run", gsd = 1.6): NamedMeasurement {
  const q = (x: number) => logNormal.cdf({ medianUm, gsd }, x);
  const raw = edges.slice(1).map((x, i) => q(x) - q(edges[i] ?? 0));
  const sum = raw.reduce((a, b) => a + b, 0);
  return of(
    sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: raw.map((v) => v / sum),
    }),
    name,
  );
}
const of = (distribution: SizeDistribution, name = "run"): NamedMeasurement => ({
  file: "f.csv",
  name,
  distribution,
});
const coarse = (more: Partial<Parameters<typeof sizeDistribution>[0]> = {}) =>
  sizeDistribution({
    quantity: "volume",
    lowerUm: [1, 2, 4],
    upperUm: [2, 4, 8],
    shares: [0.25, 0.5, 0.25],
    ...more,
  });
const lot = (middle: number, apart: number, count = 3) =>
  Array.from({ length: count }, (_, i) => run(middle + apart * (i - (count - 1) / 2), `run ${i + 1}`));
const messages = (a: { problems: readonly { message: string }[] }) => a.problems.map((p) => p.message);

// Sentences are held to what the numbers beside them say; numbers are worked by hand or taken from one verb below.
describe("check", () => {
  const band = (rows: Band["rows"], more: Partial<Band> = {}): Band => ({
    version: 1,
    name: "b",
    stage: "milled",
    densityGPerCm3: 4.5,
    rule: "two-sided",
    rows,
    envelope: null,
    ...more,
  });
  const rows = [
    { limit: "d50Um", low: 2.8, high: 3.2 },
    { limit: "d10Um", low: 1.2, high: 2.8 },
    { limit: "d90Um", low: 5.3, high: 6.5 },
  ];
  // A run in the very middle of two others would be their mean, and no run of its own.
  const three = [2.998, 2.9992, 3.002].map((um, i) => run(um, `run ${i + 1}`));
  test("in band: the median, and the limit with the least room", () => {
    // D10 is 1.64 of 1.2–2.8 (room 0.27), D90 is 5.49 of 5.3–6.5 (room 0.15).
    const { sentence, problems } = checkAnswer(three, band(rows));
    expect(sentence).toMatch(
      /^In band, three runs\. D50 3\.00 µm \(95 %: 2\.99–3\.00\) is within its limits\. The narrowest margin is that of D90: 5\.49 µm .*, limits 5\.30–6\.50 µm\.$/,
    );
    expect(problems).toEqual([]);
  });
  test("out of band: the limits that are out, the farthest first, with the nearer limit", () => {
    const { sentence } = releaseCheck(
      three,
      band([
        { limit: "d50Um", low: 3.1, high: 3.2 },
        { limit: "d10Um", low: 1.2, high: 1.3 },
        { limit: "d90Um", low: 5, high: 6 },
      ]),
    );
    // D10 1.64 is 0.34 over in 0.1; D50 3.00 is 0.1 under in 0.1.
    expect(sentence).toMatch(
      /^Out of band, three runs\. D10 1\.6\d µm \(95 %: \S+ is above its upper limit of 1\.30 µm: under 1 % chance of being in band\. D50 3\.00 µm \S+ is below its lower limit of 3\.10 µm/,
    );
  });
  test("four limits out: three are told, the others named", () => {
    const { sentence } = checkAnswer(
      three,
      band(["d10Um", "d25Um", "d50Um", "d75Um", "d90Um"].map((limit) => ({ limit, low: null, high: 0.5 }))),
    );
    expect(sentence).toMatch(/D25 and D10 are also not met\.$/);
  });
  test("one and two runs: no chance of being in, and why", () => {
    const one = checkAnswer([run(3)], band(rows));
    expect(messages(one)[0]).toMatch(
      /^One run cannot show the run-to-run scatter, so no interval is given where no repeatability is agreed\. At least three runs are needed\.$/,
    );
    const agreed = rows.map((row) => ({ ...row, repeatabilitySd: 0.01 }));
    expect(messages(checkAnswer(lot(3, 0.002, 2), band(agreed)))).toEqual([]);
    expect(releaseCheck(lot(3, 0.002, 2), band(agreed)).rows.map((row) => row.probability)).toEqual([
      null,
      null,
      null,
    ]);
    expect(one.sentence).toMatch(/^Not judged: one run; three runs or an agreed repeatability are needed\./);
  });
  test("a limit that cannot be read names the runs and does not judge", () => {
    const open = of(coarse({ shares: [0.25, 0.5, 0.05], aboveShare: 0.2 }), "open");
    const found = checkAnswer([open, run(3, "whole")], band([{ limit: "d90Um", low: 1, high: 9 }]));
    expect(found.rows[0]).toMatchObject({ value: null, interval: null, verdict: "too few runs" });
    expect(found.problems[0]).toMatchObject({ measurement: "open", expected: "d90Um" });
    expect(messages(found)[0]).toMatch(/^D90 is not known for open: /);
  });
  test("an empty band and no runs", () => {
    expect(messages(checkAnswer([run(3)], band([])))[0]).toMatch(/neither limits nor an envelope/);
    expect(checkAnswer([run(3)], band([])).verdict).toBe("too few runs");
    expect(() => checkAnswer([], band(rows))).toThrow(/measurements/);
  });
});

describe("compare", () => {
  test("says which way, how far, and the fines by size", () => {
    const { sentence, finesPoints } = compareAnswer([run(3)], [run(2.4)], { belowUm: [2, 1, 0.5] });
    expect(sentence).toMatch(/^The second powder is 20\.0 % finer on average; /);
    expect(sentence).toMatch(
      /The fines change by \+\S+ percentage points below 0\.5 µm, \+\S+ percentage points below 1 µm and \+\S+ percentage points below 2 µm\.$/,
    );
    expect(sentence).not.toMatch(/cross/);
    expect(finesPoints["1"] ?? 0).toBeGreaterThan(0);
    expect(compareAnswer([run(3)], [run(3.6)]).sentence).toMatch(/^The second powder is 20\.0 % coarser/);
  });
  test("different quantities, and what lies outside one side, are told", () => {
    const number = of(coarse({ quantity: "number" }), "n");
    expect(messages(compareAnswer([of(coarse())], [number]))[0]).toMatch(
      /use different quantities \(volume and number\)/,
    );
    const open = of(coarse({ shares: [0.25, 0.5, 0.15], belowShare: 0.1 }));
    const found = compareAnswer([of(coarse())], [open], { belowUm: [0.5] });
    expect(messages(found)).toEqual([
      "D5 and share below 0.5 µm cannot be compared: the second powder's measured range starts at 1.00 µm.",
    ]);
    expect(found.percentileRatios["5"]).toBeNull();
    expect(() => compareAnswer([], [open])).toThrow(/measurements/);
    expect(() => compareAnswer([open], [])).toThrow(/measurements/);
  });
  test("ratios of percentiles are B over A", () => {
    for (const ratio of Object.values(compareAnswer([run(3)], [run(3.3)]).percentileRatios))
      expect(ratio).toBeCloseTo(1.1, 2);
  });
});

describe("describe", () => {
  test("each figure is that of its own verb", () => {
    const m = coarse();
    const [one] = describeAnswer([of(m)], { densityGPerCm3: 4.5, percentiles: [10, 84] }).measurements;
    expect(one?.percentilesUm).toEqual({ "10": sizeAt(curveOf(m), 0.1), "84": sizeAt(curveOf(m), 0.84) });
    expect(one?.meansUm).toEqual({
      "4,3": meanDiameterUm(m, 4, 3),
      "3,2": meanDiameterUm(m, 3, 2),
      "1,0": meanDiameterUm(m, 1, 0),
    });
    expect(one?.surfaceM2PerG).toBe(geometricSurface(m, 4.5)?.m2PerG);
    expect(one?.surfaceIsLowerBound).toBe(false);
    expect(one?.numberInFinestTwo).toBeGreaterThan(0);
    expect(
      describeAnswer([of(coarse({ quantity: "number" }))], {}).measurements[0]?.numberInFinestTwo ?? null,
    ).toBeNull();
  });
  test("what is missing, with the share and the edge to blame", () => {
    const open = coarse({ shares: [0.2, 0.4, 0.15], belowShare: 0.15, aboveShare: 0.1 });
    const said = messages(describeAnswer([of(open)], { densityGPerCm3: 4.5 }));
    expect(said[0]).toBe("D10 is not known: 15.0 % lies below 1.00 µm and 10.0 % lies above 8.00 µm.");
    expect(said[1]).toMatch(
      /^The means are not known: .*, but means need at most 0\.05 % outside the measured range\.$/,
    );
    expect(said.some((text) => /^The geometric area is a lower bound: /.test(text))).toBe(true);
    expect(messages(describeAnswer([of(coarse())], {}))[0]).toMatch(/^No geometric area is given/);
    const refused = describeAnswer([of(open)], { as: "number" });
    expect(refused.measurements).toEqual([]);
    expect(refused.problems[0]).toMatchObject({
      severity: "refused",
      found: "25.0 % outside the size classes",
    });
  });
});

describe("surface", () => {
  test("half of the area, the interval of three runs, and the BET to expect", () => {
    const pairs = [0.6, 0.625, 0.65].map((betM2PerG) => ({
      stage: "milled",
      geometricM2PerG: 0.5,
      betM2PerG,
    }));
    const found = surfaceAnswer(lot(3, 0.1), { densityGPerCm3: 4.5, pairs, stage: "milled" });
    const areas = found.measurements.map((m) => m.geometricM2PerG ?? 0);
    expect(found.measurements[1]?.betM2PerG?.median).toBeCloseTo(
      ((areas[1] ?? 0) * (0.6 * 0.625 * 0.65) ** (1 / 3)) / 0.5,
      10,
    );
    const mean = areas.reduce((a, b) => a + b, 0) / 3;
    expect(found.sentence).toContain(`The geometric area is ${mean.toFixed(3)} m²/g (`);
    const k = (0.6 * 0.625 * 0.65) ** (1 / 3) / 0.5;
    expect(found.sentence).toContain(`The predicted BET area is ${(mean * k).toFixed(3)} m²/g (`);
    expect(found.sentence).toMatch(/ in 95 % of cases; three pairs\b/);
    const half = /Sizes below (\S+) µm carry (\d+) % of the area/.exec(found.sentence);
    expect(Number(half?.[2])).toBeGreaterThanOrEqual(50);
    expect(Number(half?.[2])).toBeLessThan(62);
    expect(found.problems).toEqual([]);
  });
  test("two classes of equal area: the finer one is half of it", () => {
    // Log-uniform octaves: the area of a share goes with 1/x, so twice the share an octave up has the same area.
    const m = sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares: [0.3, 0.7] });
    const found = surfaceAnswer([of(m)], { densityGPerCm3: 4.5 });
    expect(found.measurements[0]?.bySize[0]?.share).toBeCloseTo(0.3 / (0.3 + 0.35), 12);
    expect(found.sentence).toMatch(/Sizes below 4\.00 µm carry 100 % of the area\.$/);
    expect(messages(found)).toEqual([
      expect.stringMatching(/^The predicted BET area is a rough estimate: .* no pairs .* needs three pairs/),
      expect.stringMatching(/^The geometric area has no interval: one run/),
    ]);
  });
  test("an open powder has at least its area; without powder there is none", () => {
    const open = coarse({ shares: [0.25, 0.5, 0.15], belowShare: 0.1 });
    const found = surfaceAnswer([of(open)], { densityGPerCm3: 4.5 });
    expect(found.sentence).toMatch(/^The geometric area is at least /);
    expect(messages(found)[0]).toMatch(/lower bound/);
    const whole = coarse({ shares: [0.25, 0.5, 0.25] });
    expect(surfaceAnswer([of(whole), of(open)], { densityGPerCm3: 4.5 }).sentence).toMatch(
      /^The geometric area is at least /,
    );
    const empty = surfaceAnswer([of(coarse({ shares: [0, 0, 0], belowShare: 1 }))], { densityGPerCm3: 4.5 });
    expect(empty.sentence).toBe("No area can be calculated.");
    expect(messages(empty)[0]).toMatch(/has no area: all of the powder lies outside the size classes/);
    expect(empty.measurements[0]?.betM2PerG).toBeNull();
    const number = surfaceAnswer([of({ ...open, quantity: "number", measuredAs: "number" })], {
      densityGPerCm3: 4.5,
    });
    expect(messages(number)[0]).toMatch(/has no area: a number measurement with powder outside/);
  });
});

describe("repeat runs", () => {
  test("CVs are s over the mean of each percentile; from five runs on they are judged", () => {
    const { lots } = runsAnswer(lot(3, 0.1, 5));
    // Five even steps of 0.1: s = 0.1·√2.5; all three percentiles scale with the median.
    const cv = (100 * 0.1 * Math.sqrt(2.5)) / 3;
    for (const s of lots[0]?.scatter ?? []) expect(s.cvPercent).toBeCloseTo(cv, 1);
    expect(lots[0]?.scatter.map((s) => [s.allowedPercent, s.isWithin])).toEqual([
      [10, true],
      [6, true],
      [10, true],
    ]);
    expect(lots[0]?.sentence).toMatch(
      /^Five runs have a coefficient of variation of 5\.2\d % for D10, 5\.2\d % for D50 and 5\.2\d % for D90: within the limits\./,
    );
    expect(lots[0]?.sentence).toMatch(/D90 rises from run to run/);
  });
  test("at 10 µm and above the limits are not doubled, and what is over is named", () => {
    const { lots } = runsAnswer(lot(12, 0.4, 5));
    expect(lots[0]?.scatter.map((s) => [s.allowedPercent, s.isWithin])).toEqual([
      [5, false],
      [3, false],
      [5, false],
    ]);
    expect(lots[0]?.sentence).toMatch(
      /above the limit for D10 \(5\.00 %\), D50 \(3\.00 %\) and D90 \(5\.00 %\)/,
    );
  });
  test("three runs are shown, not judged; two not shown", () => {
    const three = runsAnswer(lot(3, 0.1, 3));
    expect(three.lots[0]?.scatter.map((s) => s.isWithin)).toEqual([null, null, null]);
    expect(three.sentence).toMatch(/a judgement needs at least five runs/);
    expect(messages(three)[0]).toMatch(/shown but not judged/);
    const two = runsAnswer(lot(3, 0.1, 2));
    expect(two.sentence).toBe("Two runs cannot show the run-to-run scatter; at least three are needed.");
    expect(messages(two)[0]).toMatch(/^Two runs give no coefficient of variation/);
    expect(messages(runsAnswer(lot(3, 0.1, 5)))).toEqual([]);
    expect(runsAnswer([]).sentence).toBe("There are no runs to assess.");
  });
  test("a percentile outside the range of a run is not known", () => {
    const open = of(coarse({ shares: [0.25, 0.5, 0.05], aboveShare: 0.2 }), "open");
    const found = runsAnswer([open, open, open]);
    expect(found.lots[0]?.scatter[2]).toMatchObject({ meanUm: null, cvPercent: null, trend: "steady" });
    expect(messages(found).at(-1)).toMatch(/^D90 is not known/);
  });
});

test("the fine shares of a powder: middles, ranges and the words for them", () => {
  const whole = finesAnswer(lot(3, 0.1), { densityGPerCm3: 1 });
  expect(whole.sentence).toMatch(
    /separately: respirable \S+ % \(\S+–\S+\), thoracic \S+ % \(\S+–\S+\) and inhalable \S+ % \(\S+–\S+\)\.$/,
  );
  expect(whole.problems).toEqual([]);
  const open = finesAnswer([of(coarse({ shares: [0.25, 0.5, 0.15], belowShare: 0.1 }))], {
    densityGPerCm3: 1,
  });
  const range = open.measurements[0]?.shares?.respirable;
  expect(open.overRuns.respirable.value).toBeCloseTo(((range?.low ?? 0) + (range?.high ?? 0)) / 2, 12);
  expect(messages(open)[0]).toMatch(/the respirable share lies between/);
  expect(() => finesAnswer([run(3)], { densityGPerCm3: 0 })).toThrow(/densityGPerCm3/);
});

test("what an in-class rule makes of the same runs is the mean over them", () => {
  const runs = [run(3), run(4)];
  const effects = inClassEffects(runs, 4.5);
  expect(effects.map((e) => e.rule)).toEqual(inClassRules);
  for (const effect of effects) {
    const under = runs.map((r) => sizeDistribution({ ...r.distribution, inClass: effect.rule }));
    const mean = (f: (m: SizeDistribution) => number | null) =>
      under.reduce((sum, m) => sum + (f(m) ?? 0), 0) / 2;
    expect(effect.sauterUm).toBeCloseTo(
      mean((m) => meanDiameterUm(m, 3, 2)),
      12,
    );
    expect(effect.deBrouckereUm).toBeCloseTo(
      mean((m) => meanDiameterUm(m, 4, 3)),
      12,
    );
    expect(effect.numberMeanUm).toBeCloseTo(
      mean((m) => meanDiameterUm(m, 1, 0)),
      12,
    );
    expect(effect.surfaceM2PerG).toBeCloseTo(
      mean((m) => geometricSurface(m, 4.5)?.m2PerG ?? null),
      12,
    );
  }
  expect(inClassEffects(runs, null)[0]?.surfaceM2PerG).toBeNull();
  expect(inClassEffects([], 4.5)[0]?.sauterUm).toBeNull();
});

test("what carries the area is told over all runs (by hand: (0.3 + 0.6)/(0.65 + 0.8) = 62 %)", () => {
  const octaves = (shares: number[]) =>
    of(sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares }));
  const found = surfaceAnswer([octaves([0.3, 0.7]), octaves([0.6, 0.4])], { densityGPerCm3: 4.5 });
  expect(found.bySize[0]?.share).toBeCloseTo(0.9 / 1.45, 12);
  expect(found.sentence).toMatch(/Sizes below 2\.00 µm carry 62 % of the area\.$/);
  const wider = of(
    sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 8], shares: [0.5, 0.5] }),
  );
  const mixed = surfaceAnswer([octaves([0.6, 0.4]), wider], { densityGPerCm3: 4.5 });
  expect(mixed.bySize[0]?.share).toBeCloseTo(0.75, 12);
  expect(mixed.sentence).toMatch(/Sizes below 2\.00 µm carry 75 % of the area in the first run\.$/);
});
