import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { logNormal } from "#distributions/families/logNormal.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { compareAnswer } from "#model/answers/compare/compareAnswer.ts";
import { stagesAnswer } from "#model/answers/compare/stagesAnswer.ts";
import { gainLostSentence, humpsChange, neckedShareSentence } from "#model/answers/compare/stagesWords.ts";
import { gainLostOf } from "#model/compare/gainLost.ts";
import { neckedShareOf } from "#model/compare/joining.ts";
import { estimatesOf, leaveOneOut } from "#model/lot/leaveOneOut.ts";
import { stagesNamed } from "#model/lot/stages.ts";
import { tQuantile } from "#model/numbers/studentT.ts";

const edges = Array.from({ length: 201 }, (_, i) => 0.05 * 4000 ** (i / 200));

function curve(undersize: (x: number) => number, name = "run"): NamedMeasurement {
  const q = edges.map(undersize);
  return {
    file: null,
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
      belowShare: q[0] ?? 0,
      aboveShare: 1 - (q.at(-1) ?? 1),
    }),
  };
}

const powder = (medianUm: number, gsd = 1.6) => curve((x) => logNormal.cdf({ medianUm, gsd }, x));
/** Runs whose sizes scatter by the given parts about a median. */
const runsAbout = (medianUm: number, parts: readonly number[] = [-0.01, 0, 0.01], gsd = 1.6) =>
  parts.map((part) => powder(medianUm * (1 + part), gsd));
const sample = (path: string) =>
  readTable(
    readFileSync(new URL(`../../../distributions/samples/lots/${path}`, import.meta.url), "utf8"),
    path,
    {},
  ).measurements;

describe("leaving runs out", () => {
  const a = [1, 4, 2, 6];
  const b = [9, 8, 12];
  const mean = (v: readonly number[]) => v.reduce((s, x) => s + x, 0) / v.length;
  const variance = (v: readonly number[]) =>
    v.reduce((s, x) => s + (x - mean(v)) ** 2, 0) / (v.length - 1) / v.length;
  test("for a difference of means it is Welch's interval (closed form)", () => {
    const [found] = estimatesOf(
      leaveOneOut([a, b], ([x = [], y = []]) => [mean(y) - mean(x)]),
      0.95,
    );
    const [va, vb] = [variance(a), variance(b)];
    const degrees = (va + vb) ** 2 / (va ** 2 / 3 + vb ** 2 / 2);
    const reach = tQuantile(0.975, degrees) * Math.sqrt(va + vb);
    expect(found?.interval?.low).toBeCloseTo(mean(b) - mean(a) - reach, 10);
    expect(found?.interval?.high).toBeCloseTo(mean(b) - mean(a) + reach, 10);
  });
  test("two runs show no interval", () => {
    const [found] = estimatesOf(
      leaveOneOut([[1, 2], b], ([x = [], y = []]) => [mean(y) - mean(x)]),
      0.95,
    );
    expect(found).toEqual({ value: 9.666666666666666 - 1.5, interval: null });
  });
});

describe("one step", () => {
  const answer = stagesAnswer(
    [
      { stage: "crushed", runs: runsAbout(6), massG: 500 },
      { stage: "milled", runs: runsAbout(3), massG: 490 },
    ],
    { belowUm: [2], densityGPerCm3: 4.7 },
  );
  const [step] = answer.steps;
  test("a shift by one half halves every percentile and is said with its interval", () => {
    expect(step?.percentileRatios["50"]?.value).toBeCloseTo(0.5, 3);
    expect(step?.percentileRatios["90"]?.value).toBeCloseTo(0.5, 3);
    expect(step?.meanShiftPercent.value).toBeCloseTo(-50, 2);
    expect(step?.crosses).toBe(false);
    expect(step?.sentence).toMatch(/^Milling made the powder 50\.0 % finer on average \(4\d\.\d–5\d\.\d\)\./);
  });
  test("the ledger counts points, and grams from the masses of both stages", () => {
    const [entry] = step?.fines ?? [];
    const q = (median: number) => logNormal.cdf({ medianUm: median, gsd: 1.6 }, 2);
    expect(entry?.points.value).toBeCloseTo(100 * (q(3) - q(6)), 1);
    expect(entry?.grams?.before).toBeCloseTo(500 * q(6), 0);
    expect(entry?.grams?.after).toBeCloseTo(490 * q(3), 0);
    expect(entry?.grams?.change.value).toBeCloseTo(490 * q(3) - 500 * q(6), 0);
  });
  test("a size below which a stage was not measured has no entry, and that is said; one that was is not named", () => {
    const unseen = (runs: readonly NamedMeasurement[]) =>
      runs.map((r) => ({
        ...r,
        distribution: {
          ...r.distribution,
          shares: r.distribution.shares.map((s) => s * 0.98),
          belowShare: 0.02,
        },
      }));
    const entered = stagesAnswer(
      [
        { stage: "crushed", runs: unseen(runsAbout(6)) },
        { stage: "milled", runs: runsAbout(3) },
      ],
      { belowUm: [0.01, 2] },
    );
    const note = entered.problems.find(({ message }) => message.startsWith("The fines balance has no value"));
    expect(note?.message).toMatch(/no value below 0\.01 µm, because/);
    expect(entered.steps[0]?.fines[1]?.points.value).not.toBeNull();
    expect(answer.problems.some(({ message }) => message.startsWith("The fines balance"))).toBe(false);
  });
  test("half the size is twice the area, and it is said to be made", () => {
    expect(step?.areaM2PerG?.after).toBeCloseTo(0.475, 2);
    expect(step?.areaM2PerG?.change.value).toBeCloseTo(0.475 / 2, 2);
    expect(step?.sentence).toMatch(/The geometric area increased by 0\.23\d m²\/g/);
  });
  test("the way back is coarser and heals it; the same powder is left where it was", () => {
    const back = stagesAnswer(
      [
        { stage: "milled", runs: runsAbout(3) },
        { stage: "re-fired", runs: runsAbout(6) },
      ],
      { densityGPerCm3: 4.7 },
    );
    expect(back.steps[0]?.sentence).toMatch(
      /Re-firing made the powder 100 % coarser.*The geometric area decreased by 0\.23/,
    );
    const same = stagesAnswer([
      { stage: "milled", runs: runsAbout(3) },
      { stage: "re-fired", runs: runsAbout(3, [-0.012, 0.002, 0.009]) },
    ]);
    expect(same.steps[0]?.sentence).toMatch(/did not change the mean size measurably/);
    expect(same.steps[0]?.sentence).toMatch(/not distinguishable from zero/);
    expect(same.problems.some((p) => /density/.test(p.message))).toBe(true);
  });
  test("one run a stage is told without intervals, and why", () => {
    const { steps, problems } = stagesAnswer([
      { stage: "a", runs: [powder(6)] },
      { stage: "b", runs: [powder(3)] },
    ]);
    expect(steps[0]?.meanShiftPercent.interval).toBeNull();
    expect(steps[0]?.noisePoints).toBeNull();
    expect(problems.some((p) => /no intervals/.test(p.message))).toBe(true);
  });
});

describe("humps gained and lost", () => {
  test.each([
    ["one hump", "second hump", "gained"],
    ["second hump", "one hump", "lost"],
    ["one hump", "one hump", "same"],
    ["one hump", "possible second hump", "not known"],
    [null, "one hump", "not known"],
  ] as const)("%s to %s: %s", (before, after, change) => expect(humpsChange(before, after)).toBe(change));
});

describe("joining and growth on re-firing", () => {
  const joined = (share: number, times: number, growth = 1) =>
    [-0.006, -0.002, 0.003, 0.005].map((part) =>
      curve((x) => {
        const at = (scale: number) =>
          logNormal.cdf({ medianUm: 3 * growth * scale * (1 + part), gsd: 1.6 }, x);
        return (1 - share) * at(1) + share * at(times);
      }),
    );
  const milled = joined(0, 1);
  test("a tenth joined at three times is found, at its share and size", () => {
    const found = neckedShareOf(milled, joined(0.1, 3), 0.95);
    expect(found?.verdict).toBe("joining");
    expect(found?.timesLarger).toBe(3);
    expect(found?.share.value).toBeCloseTo(0.1, 2);
    expect(found === null ? "" : neckedShareSentence(found, {})).toMatch(
      /^The coarse end changed most: (9\.|10\.)/,
    );
  });
  test("φ 0.1 and s 3 move D10, D50, D90 by +2.9, +6.6, +29 % (docs/science.md)", () => {
    const [step] = stagesAnswer([
      { stage: "milled", runs: milled },
      { stage: "re-fired", runs: joined(0.1, 3) },
    ]).steps;
    const percent = (p: string) => 100 * ((step?.percentileRatios[p]?.value ?? 0) - 1);
    expect(percent("10")).toBeCloseTo(2.9, 0);
    expect(percent("50")).toBeCloseTo(6.6, 0);
    expect(percent("90")).toBeCloseTo(29, 0);
  });
  test("growth alone is growth, and both are both", () => {
    const grown = neckedShareOf(milled, joined(0, 1, 1.1), 0.95);
    expect(grown?.verdict).toBe("growth");
    expect(grown?.growthPercent.value).toBeCloseTo(10, 0);
    expect(neckedShareOf(milled, joined(0.1, 3, 1.1), 0.95)?.verdict).toBe("joining and growth");
  });
  test("the same powder shows neither, and two runs cannot tell", () => {
    expect(neckedShareOf(milled, [...milled].reverse(), 0.95)?.verdict).toBe("neither");
    expect(neckedShareOf(milled.slice(0, 2), joined(0.1, 3), 0.95)?.verdict).toBe("too few runs");
  });
});

describe("share of the milling gain lost", () => {
  const lost = (refiredUm: number) =>
    gainLostOf(runsAbout(8), runsAbout(2), runsAbout(refiredUm, [-0.008, 0, 0.009]), 0.95);
  test("half of the way back in ln x is a half, in either reading", () => {
    expect(lost(4).share.value).toBeCloseTo(0.5, 3);
    expect(lost(4).signedShare.value).toBeCloseTo(0.5, 3);
    expect(gainLostSentence(lost(4), [])).toMatch(
      /^Re-firing reversed 50\.\d % \(4\d\.\d–5\d\.\d\) of the size reduction by milling\.$/,
    );
  });
  test("finer still is a gain, and no change is none", () => {
    expect(gainLostSentence(lost(1), [])).toMatch(/^Re-firing made the powder still finer, by 50/);
    expect(gainLostSentence(lost(2), [])).toMatch(/^Re-firing did not measurably reverse/);
  });
  test("the demo lot's line is told step by step", () => {
    const line = ["fired", "crushed", "milled", "re-fired"].map((stage) => ({
      stage,
      runs: sample(`garnet-07/${stage}.csv`),
    }));
    const { steps, sentence } = stagesAnswer(line, { densityGPerCm3: 4.55 });
    expect(steps.map((s) => s.to)).toEqual(["crushed", "milled", "re-fired"]);
    expect(sentence).toMatch(/Re-firing reversed .* of the size reduction by crushing and milling/);
    expect(JSON.stringify(steps)).not.toMatch(/NaN|Infinity/);
  });
  test("a lab's own names of the steps change nothing: what is done in each is what counts", () => {
    const usual = ["fired", "milled", "re-fired"] as const;
    const runs = usual.map((stage) => sample(`garnet-07/${stage}.csv`));
    const plain = stagesAnswer(usual.map((stage, i) => ({ stage, runs: runs[i] ?? [] })));
    const kinds = ["fired", "milled", "heat-treated"] as const;
    const own = stagesAnswer(
      ["calcined", "jet 2", "annealed"].map((stage, i) => ({
        stage,
        kind: kinds[i] ?? null,
        runs: runs[i] ?? [],
      })),
    );
    expect(own.gainLost).toEqual(plain.gainLost);
    expect(own.steps.map((s) => s.joining)).toEqual(plain.steps.map((s) => s.joining));
    expect(own.steps[1]?.sentence).toMatch(/^The step from jet 2 to annealed made the powder/);
  });
});

describe("the stages that names speak of", () => {
  test.each([
    [["milled 1", "milled, run 2"], ["milled"]],
    [["Lot 12 Re_fired.csv"], ["re-fired"]],
    [["12_refired"], ["re-fired"]],
    [["lot21-refired", "lot21 refired"], ["re-fired"]],
    [["lot21-milled"], ["milled"]],
    [["unfired", "lot21-unfired"], []],
    [["fired"], ["fired"]],
    [["reference drum 7, milled"], ["milled"]],
    [["reference_drum_7.csv"], []],
    [["unmilled", "misfired", "12"], []],
    [
      ["milled 1", "re-fired 1"],
      ["milled", "re-fired"],
    ],
  ])("%j", (names, found) => {
    expect(stagesNamed(names)).toEqual(found);
  });
});

test("fines are counted below 1 µm where nothing else is asked", () => {
  const { steps } = stagesAnswer([
    { stage: "fired", runs: runsAbout(8) },
    { stage: "milled", runs: runsAbout(3) },
  ]);
  expect(steps[0]?.fines.map((f) => f.belowUm)).toEqual([1]);
});

test("a wider powder of the same median crosses, and the sentence says so; a coarser one does not", () => {
  const wider = compareAnswer(runsAbout(3), [powder(3.05, 2.2)]);
  expect(wider.meanShiftPercent).toBeGreaterThan(0);
  expect(wider.sentence).toMatch(
    /and the curves cross, so part of the powder changed in the opposite direction/,
  );
  expect(compareAnswer(runsAbout(3), [powder(3.5)]).sentence).not.toMatch(/curves cross/);
});
