import { describe, expect, test } from "vitest";
import { logNormal } from "#distributions/families/logNormal.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { againstSentence } from "#model/answers/compare/againstAnswer.ts";
import { blendSentence } from "#model/answers/compare/blendAnswer.ts";
import { gainLostSentence, neckedShareSentence, stepSentence } from "#model/answers/compare/stagesWords.ts";
import { chartSentence, effectSentence } from "#model/answers/factors/historyAnswer.ts";
import { bandRequirement } from "#model/answers/lot/bandRequirement.ts";
import { fitAnswer } from "#model/answers/lot/fitAnswer.ts";
import { runsAnswer } from "#model/answers/lot/runsAnswer.ts";
import { sizeShiftSentence } from "#model/answers/lot/sizeShiftWords.ts";
import { outsideText, verdictWords } from "#model/answers/lot/verdictSentence.ts";
import { notRefired } from "#model/answers/mill/wheelHeadline.ts";
import { lastStage } from "#model/answers/report/reportAnswer.ts";
import { predictedBetSentence } from "#model/answers/surface/predictedBetWords.ts";
import type { Band, RowCheck, Verdict } from "#model/band/band.ts";
import { individuals } from "#model/factors/individuals.ts";
import type { Estimate } from "#model/lot/leaveOneOut.ts";
import { lineThrough } from "#model/numbers/line.ts";

// Sentences from records made by hand: each number in them is one of the record's own, or what a pencil makes of it.
const between = (low: number, high: number) => ({ low, high, level: 0.95 });
const estimate = (value: number | null, low?: number, high?: number): Estimate => ({
  value,
  interval: low === undefined || high === undefined ? null : between(low, high),
});
const row = (
  limit: string,
  value: number | null,
  low: number | null,
  high: number | null,
  verdict: Verdict,
): RowCheck => ({
  limit,
  value,
  low,
  high,
  verdict,
  interval: null,
  probability: null,
});
const checked = (
  verdict: Verdict,
  rows: readonly RowCheck[],
  more: Partial<Parameters<typeof verdictWords>[0]> = {},
) => verdictWords({ verdict, runs: 3, rows, outside: [], problems: [], ...more });

describe("a check", () => {
  const out = { fromUm: 2, toUm: 4, points: 1.5, verdict: "out of band" } as const;
  test("in band: the limit with the least room as a part of what is allowed; D50 aside", () => {
    const rows = [
      row("d50Um", 3.01, 3, 4, "in band"),
      row("d10Um", 1.2, 1, 2, "in band"),
      row("d90Um", 8.7, 6, 9, "in band"),
      row("span", 1, null, 1.001, "in band"),
    ];
    expect(checked("in band", rows)).toEqual({
      verdict: "In band",
      headline: ", three runs. D50 3.01 µm is within its limits.",
      more: "The narrowest margin is that of D90: 8.70 µm, limits 6.00–9.00 µm.",
    });
  });
  test("on the edge: the limit that is nearer, or the only one", () => {
    const said = (value: number, low: number | null, high: number | null) =>
      checked("on the edge", [row("d90Um", value, low, high, "on the edge")]).headline;
    expect(said(5.1, 5, 6)).toBe(
      ", three runs. D90 5.10 µm is too close to its lower limit of 5.00 µm to call.",
    );
    expect(said(5.9, 5, 6)).toBe(
      ", three runs. D90 5.90 µm is too close to its upper limit of 6.00 µm to call.",
    );
    expect(said(0.1, 5, 6)).toContain("lower limit");
    expect(said(5.1, null, 6)).toContain("upper limit of 6.00");
    expect(said(5.9, 5, null)).toContain("lower limit of 5.00");
  });
  test("a share is told in per cent, a span without a unit, an interval with both ends", () => {
    const share = {
      ...row("belowShare", 0.12, null, 0.1, "out of band"),
      sizeUm: 1,
      interval: between(0.11, 0.13),
      probability: 0.004,
    };
    expect(checked("out of band", [share]).headline).toBe(
      ", three runs. The share below 1 µm of 12.0 % (95 %: 11.0–13.0) is above its upper limit of 10.0 %: under 1 % chance of being in band.",
    );
    expect(checked("out of band", [row("span", 0.5, 0.8, 1.2, "out of band")]).headline).toBe(
      ", three runs. The span of 0.500 is below its lower limit of 0.800.",
    );
  });
  test("guarded: what is inside but not surely so", () => {
    expect(checked("out of band", [row("d50Um", 3.05, 3, 3.5, "out of band")]).headline).toBe(
      ", three runs. Under the guarded rule D50 3.05 µm has an interval beyond its lower limit of 3.00 µm: that does not show it to be in band.",
    );
    expect(checked("out of band", [row("d50Um", 3.05, 3, 3.5, "out of band")]).verdict).toBe(
      "Not shown to be in band",
    );
    expect(checked("out of band", [row("d50Um", 3.55, 3, 3.5, "out of band")]).verdict).toBe("Out of band");
  });
  test("figures have the digits that tell them from the limit", () => {
    expect(checked("out of band", [row("d50Um", 3.5004, 3, 3.5, "out of band")]).headline).toContain(
      "D50 3.5004 µm",
    );
  });
  test("the farthest out comes first, by the room between the limits or by the limit itself; edges after what is out", () => {
    // 0.2 over in 2; 0.3 over in 1; 0.5 over a lone limit of 4.
    const rows = [
      row("d10Um", 3.2, 1, 3, "out of band"),
      row("d50Um", 4.3, 3, 4, "out of band"),
      row("d90Um", 4.5, null, 4, "out of band"),
      row("span", 1.2, 0.8, 1.2, "on the edge"),
    ];
    const { headline, more } = checked("out of band", rows);
    expect(`${headline} ${more}`.match(/D50|D90|D10|span/g)).toEqual(["D50", "D90", "D10", "span"]);
    expect(more).toContain("The span is also not met or too close to call.");
    expect(checked("out of band", rows.slice(1)).more).not.toContain("also");
  });
  test("what is not known is said first, and what is inside last", () => {
    const { headline, more } = checked(
      "out of band",
      [
        row("d10Um", null, 1, 2, "too few runs"),
        row("d90Um", 7, 5, 6, "out of band"),
        row("d50Um", 3, 2, 4, "in band"),
      ],
      { outside: [out] },
    );
    expect(headline).toBe(", three runs. D10 is not known.");
    expect(more).toBe(
      "D90 7.00 µm is above its upper limit of 6.00 µm. Between 2.00 and 4.00 µm the curve leaves the envelope: up to 1.50 percentage points finer than allowed. D50 3.00 µm is within its limits.",
    );
  });
  test("nothing could be read: not judged, with the reason; with a value it is", () => {
    const why = {
      severity: "refused" as const,
      message: "It is number.",
      file: null,
      measurement: null,
      row: null,
      column: null,
      found: null,
      expected: null,
      effect: null,
    };
    const none = [row("d50Um", null, 1, 2, "too few runs")];
    expect(checked("too few runs", none, { problems: [why] })).toEqual({
      verdict: "Not judged",
      headline: ", three runs. It is number.",
      more: "",
    });
    expect(checked("too few runs", none).verdict).toBe("Not judged");
    expect(checked("out of band", none, { problems: [why] }).verdict).toBe("Out of band");
    expect(
      checked("too few runs", [...none, row("d90Um", 3, 1, 2, "out of band")], { problems: [why] }).verdict,
    ).toBe("Not judged");
  });
  test("two runs: where the median sits, what lies beyond, and what is needed", () => {
    const { headline, more } = checked(
      "too few runs",
      [
        row("d10Um", 3, 1, 2, "too few runs"),
        row("d50Um", 3, 1, 4, "too few runs"),
        row("d90Um", 4, 5, 6, "too few runs"),
      ],
      { runs: 2 },
    );
    expect(headline).toBe(
      ": two runs; three runs or an agreed repeatability are needed. D50 3.00 µm is within its limits, but two runs cannot show the run-to-run scatter.",
    );
    expect(more).toBe(
      "D10 3.00 µm is above its upper limit of 2.00 µm. D90 4.00 µm is below its lower limit of 5.00 µm.",
    );
    expect(
      checked("too few runs", [row("d10Um", 0.5, 1, 2, "too few runs")], { runs: 1 }).headline,
    ).toContain("D10 0.500 µm is below its lower limit");
    expect(checked("too few runs", [], { runs: 1 }).headline).toBe(
      ": one run; three runs or an agreed repeatability are needed. One run cannot show the run-to-run scatter.",
    );
  });
  test("of another stage it is placed without a verdict", () => {
    const gap = "This is milled.";
    const placed = (verdict: Verdict, rows: readonly RowCheck[]) =>
      verdictWords({ verdict, runs: 3, rows, outside: [], problems: [] }, gap).headline;
    expect(placed("in band", [])).toBe(
      "This is milled. As measured (three runs), the powder lies within the band.",
    );
    expect(placed("on the edge", [])).toContain("the powder is too close to the band's limits to call.");
    expect(placed("too few runs", [])).toContain("the powder cannot be judged yet: there are too few runs.");
    expect(placed("out of band", [row("d90Um", 9, 5, 6, "out of band")])).toContain(
      "the powder lies partly outside the band.",
    );
    expect(placed("out of band", [row("d50Um", 9, 5, 6, "out of band")])).toContain(
      "the powder is coarser than the band.",
    );
    expect(placed("out of band", [row("d50Um", 4, 5, 6, "out of band")])).toContain(
      "the powder is finer than the band.",
    );
    expect(placed("out of band", [row("d50Um", 5.5, 5, 6, "out of band")])).toContain(
      "the powder lies partly outside the band.",
    );
  });
  test("the curve's worst stretch alone is told", () => {
    const far = { ...out, fromUm: 5, toUm: 6, points: -2 };
    const edge = { ...out, points: 9, verdict: "on the edge" } as const;
    expect(checked("out of band", [], { outside: [edge, out, far] }).headline).toBe(
      ", three runs. Between 5.00 and 6.00 µm the curve leaves the envelope: up to 2.00 percentage points coarser than allowed.",
    );
    expect(outsideText(edge)).toBe(
      "up to 9.00 percentage points finer than allowed, which is within the run-to-run scatter",
    );
    expect(checked("on the edge", []).headline).toContain("but its interval does not at every size");
    expect(checked("on the edge", [row("d50Um", 3, 3, 4, "on the edge")]).more).toBe("");
  });
});

describe("a step between stages", () => {
  const step = (more: Partial<Parameters<typeof stepSentence>[0]> = {}) =>
    stepSentence({
      from: "crushed",
      to: "milled",
      meanShiftPercent: estimate(-50, -51, -49),
      crosses: false,
      fines: [],
      areaM2PerG: null,
      humps: { before: null, after: null, change: "not known" },
      joining: null,
      percentileRatios: {},
      noisePoints: null,
      shiftPercent: 100,
      maxGapPoints: 60,
      atUm: 3,
      ...more,
    });
  test("finer, coarser or left, with the interval the smaller first", () => {
    expect(step()).toBe("Milling made the powder 50.0 % finer on average (49.0–51.0).");
    expect(step({ to: "fired", meanShiftPercent: estimate(20, 18, 22), crosses: true })).toBe(
      "Firing made the powder 20.0 % coarser on average (18.0–22.0); the curves cross, so part of it changed in the opposite direction.",
    );
    expect(step({ to: "sieved", meanShiftPercent: estimate(20) })).toBe(
      "The step from crushed to sieved made the powder 20.0 % coarser on average.",
    );
    expect(step({ meanShiftPercent: estimate(0.2, -0.5, 0.9), crosses: true })).toBe(
      "Milling did not change the mean size measurably: +0.200 % (−0.500 to +0.900); the curves cross.",
    );
  });
  test("grams that are surely lost with the mass are told though the share did not change, and the other way about", () => {
    const said = (points: Estimate, change: Estimate) =>
      step({ fines: [{ belowUm: 1, points, grams: { before: 25, after: 15, change } }] });
    expect(said(estimate(0.03, -0.1, 0.2), estimate(-10, -11, -9))).toContain(
      "The share below 1 µm changed by +0.0300 percentage points (−0.100 to +0.200), not distinguishable from zero; −10.0 g (−11.0 to −9.00).",
    );
    expect(said(estimate(0.3, 0.1, 0.5), estimate(1, -1, 3))).toContain(
      "The share below 1 µm changed by +0.300 percentage points (+0.100 to +0.500), +1.00 g (−1.00 to +3.00), not distinguishable from zero.",
    );
  });
  test("fines in points and grams, area, humps", () => {
    const fines = [
      { belowUm: 1, points: estimate(2.5, 2, 3), grams: { before: 1, after: 2, change: estimate(1.25) } },
      { belowUm: 2, points: estimate(-0.1, -0.3, 0.1), grams: null },
      { belowUm: 3, points: estimate(null), grams: null },
    ];
    expect(
      step({
        fines,
        areaM2PerG: { before: 1, after: 2, change: estimate(1, 0.9, 1.1) },
        humps: { before: null, after: null, change: "gained" },
      }),
    ).toBe(
      "Milling made the powder 50.0 % finer on average (49.0–51.0). The share below 1 µm changed by +2.50 percentage points (+2.00 to +3.00), +1.25 g. The share below 2 µm changed by −0.100 percentage points (−0.300 to +0.100), not distinguishable from zero. The geometric area increased by 1.00 m²/g (0.900–1.10). A second mode appeared.",
    );
    expect(
      step({
        areaM2PerG: { before: 2, after: 1, change: estimate(-1, -1.1, -0.9) },
        humps: { before: null, after: null, change: "lost" },
      }),
    ).toMatch(
      /The geometric area decreased by 1\.00 m²\/g \(0\.900–1\.10\)\. The second mode disappeared\.$/,
    );
    expect(step({ areaM2PerG: { before: 1, after: 1, change: estimate(0.1, -0.1, 0.3) } })).toMatch(
      /The geometric area did not change measurably: \+0\.100 m²\/g \(−0\.100 to \+0\.300\)\.$/,
    );
    expect(step({ areaM2PerG: { before: null, after: 1, change: estimate(null) } })).not.toMatch(/area/);
  });
  test("joining, growth, both, neither", () => {
    const joining = { share: estimate(0.1, 0.08, 0.12), timesLarger: 2.5, growthPercent: estimate(4, 3, 5) };
    const said = (verdict: "joining" | "joining and growth" | "growth") =>
      neckedShareSentence({ ...joining, verdict }, alike);
    const alike = {
      "90": estimate(1.05, 1.03, 1.07),
      "50": estimate(1.04, 1.03, 1.05),
      "10": estimate(1.06, 1.04, 1.08),
    };
    const joined =
      "10.0 % (8.00–12.0) of the powder is in necked aggregates about 2.5 times as large as the single particles";
    expect(said("joining")).toBe(`The coarse end changed most: ${joined}.`);
    expect(said("joining and growth")).toBe(
      `The coarse end changed most: ${joined}; in addition, all sizes grew by 4.00 % (3.00–5.00).`,
    );
    const little = { ...joining, share: estimate(0.0034, 0.001, 0.006) };
    expect(neckedShareSentence({ ...little, verdict: "joining" }, alike)).toBe(
      "Necked aggregates hold less than 0.5 % of the powder, too little to be shown by these runs.",
    );
    expect(neckedShareSentence({ ...little, verdict: "joining and growth" }, alike)).toBe(
      "All sizes grew by 4.00 % (3.00–5.00). Necked aggregates hold less than 0.5 % of the powder, too little to be shown by these runs.",
    );
    expect(said("growth")).toBe(
      "The whole curve shifted: D50 by +4.00 % (+3.00 to +5.00), the other percentiles alike. No necking can be detected.",
    );
    const apart = (fine: Estimate, coarse: Estimate) =>
      neckedShareSentence({ ...joining, verdict: "growth" }, { "10": fine, "90": coarse });
    expect(apart(estimate(1.22, 1.2, 1.24), estimate(1.12, 1.09, 1.14))).toBe(
      "The fine sizes grew most: D10 by +22.0 % (+20.0 to +24.0), D90 by +12.0 % (+9.00 to +14.0). No necking can be detected.",
    );
    expect(apart(estimate(1.1, 1.05, 1.12), estimate(1.2, 1.15, 1.3))).toMatch(
      /^The coarse sizes grew most: D10/,
    );
    expect(apart(estimate(1.1), estimate(1.2))).toMatch(/^The whole curve shifted: D90 by \+20\.0 %, the/);
    expect(apart(estimate(null), estimate(null))).toBe(
      "The whole curve shifted. No necking can be detected.",
    );
  });
  test("the milling gain that is lost", () => {
    const lost = (share: Estimate, signedShare: Estimate) =>
      gainLostSentence({ share, signedShare }, ["fired", "milled", "re-fired"]);
    expect(lost(estimate(0.44), estimate(0.42, 0.38, 0.46))).toBe(
      "Re-firing reversed 42.0 % (38.0–46.0) of the size reduction by milling.",
    );
    expect(lost(estimate(0.48), estimate(0.42))).toBe(
      "Re-firing reversed 42.0 % of the size reduction by milling; the whole curve moved by 48.0 % of it.",
    );
    // The curve as a whole is told apart where it differs by more than five points.
    expect(lost(estimate(0.472), estimate(0.42))).toContain("moved by 47.2 % of it");
    expect(lost(estimate(0.468), estimate(0.42))).not.toContain("the whole curve");
    expect(lost(estimate(0.1), estimate(0.05, -0.02, 0.12))).toBe(
      "Re-firing did not measurably reverse the size reduction by milling: +5.00 % (−2.00 to +12.0).",
    );
    expect(lost(estimate(0.2), estimate(-0.2, -0.25, -0.15))).toBe(
      "Re-firing made the powder still finer, by 20.0 % (15.0–25.0) of the size reduction by milling.",
    );
    expect(lost(estimate(0.42), estimate(0.42, 0.42, 0.42 + 1e-14))).toBe(
      "Re-firing reversed 42.0 % (the same in all runs) of the size reduction by milling.",
    );
    expect(lost(estimate(0.42), estimate(0.42, 0.4199, 0.4201))).toContain("(42.0–42.0)");
    const whole = ["fired", "crushed", "milled", "re-fired"];
    expect(gainLostSentence({ share: estimate(0.44), signedShare: estimate(0.42, 0.38, 0.46) }, whole)).toBe(
      "Re-firing reversed 42.0 % (38.0–46.0) of the size reduction by crushing and milling.",
    );
    expect(lost(estimate(null), estimate(0.3))).toBe(
      "Milling did not change the size, so re-firing had nothing to reverse.",
    );
    expect(lost(estimate(0.3), estimate(null))).toBe(
      "Milling did not change the size, so re-firing had nothing to reverse.",
    );
  });
});

describe("powders beside powders", () => {
  test("a blend, a lot alone, and what is still out", () => {
    const shares = [
      { name: "A", share: 0.62 },
      { name: "B", share: 0.38 },
      { name: "C", share: 0 },
    ];
    const names = ["A", "B", "C"];
    const rows = [{ limit: "d90Um", value: 7, low: null, high: 6, isIn: false }];
    expect(blendSentence({ shares, isIn: true, chance: 0.93, rows: [] }, names)).toBe(
      "A blend of 62 % A and 38 % B would be in band (93 % chance of being in band for all limits together).",
    );
    expect(blendSentence({ shares, isIn: false, chance: null, rows }, names)).toBe(
      "No blend of these lots is in band. 62 % A and 38 % B are nearest, but D90 would still be out of band.",
    );
    expect(blendSentence({ shares, isIn: false, chance: null, rows: [] }, names)).toContain(
      ", but the curve would still be out of band.",
    );
    const alone = [
      { name: "A", share: 1 },
      { name: "B", share: 0 },
    ];
    expect(blendSentence({ shares: alone, isIn: true, chance: null, rows: [] }, ["A", "B"])).toBe(
      "A alone, without B, would be in band.",
    );
    expect(blendSentence({ shares: alone, isIn: false, chance: null, rows }, ["A", "B"])).toContain(
      "A alone is nearest, but D90",
    );
  });
  test("the nearest to a reference, and what cannot be told from it", () => {
    const other = {
      name: "B",
      meanShiftPercent: -1.5,
      maxGapPoints: 2.5,
      shiftPercent: 2,
      isWithinNoise: true,
      atUm: 3,
      overlap: 0.9,
      lnRatios: [],
    };
    const noise = { shiftPercent: 0.5, maxGapPoints: 0.75, leastOverlap: 0.99, lnRatios: [] };
    expect(againstSentence("A", [other], noise)).toBe(
      "B is nearest to A: on average 1.50 % finer, with a size shift of 2.00 % and a largest gap of 2.50 percentage points. The runs of the reference differ by 0.500 % in size and 0.750 percentage points. Not distinguishable from it: B.",
    );
    expect(againstSentence("A", [{ ...other, meanShiftPercent: 0.5, isWithinNoise: false }], null)).toBe(
      "B is nearest to A: on average 0.500 % coarser, with a size shift of 2.00 % and a largest gap of 2.50 percentage points.",
    );
    expect(againstSentence("A", [], null)).toBe("There is no powder to compare with the reference.");
  });
});

describe("what would bring a lot back", () => {
  const found = {
    chanceNow: 0.62,
    sizeChangePercent: -4.1,
    chanceThen: 0.97,
    fromPercent: -6,
    toPercent: -2,
    leastNow: { row: { limit: "belowShare", sizeUm: 1 }, chance: 0.71 },
    inTheWay: [],
    isAnySize: false,
  };
  test("out, in, as good as it gets, and beyond help", () => {
    const beside = { limits: "in band", envelope: null, isAtLeast: false, step: "milled" } as const;
    const envelope = { verdict: "on the edge", fromUm: 2, toUm: 4 } as const;
    expect(sizeShiftSentence(found, { ...beside, envelope })).toMatch(
      /looked for by the limits alone; the curve does not clearly lie within the envelope\./,
    );
    const surely = { ...found, chanceNow: 0.99, fromPercent: -6, toPercent: 6, sizeChangePercent: 0 };
    expect(sizeShiftSentence(surely, beside)).toBe("No change is needed.");
    expect(sizeShiftSentence(surely, { ...beside, limits: "on the edge" })).toMatch(
      /Neither finer nor coarser/,
    );
    expect(sizeShiftSentence(surely, { ...beside, envelope })).toMatch(
      /^All single limits are met\. The verdict is "on the edge" only because of the envelope between 2\.00 and 4\.00 µm\.$/,
    );
    expect(sizeShiftSentence(surely, { ...beside, envelope: { ...envelope, toUm: 2 } })).toMatch(
      /envelope at 2\.00 µm\.$/,
    );
    expect(sizeShiftSentence(surely, { ...beside, limits: "on the edge", envelope })).toMatch(
      /looked for by the limits alone/,
    );
    expect(sizeShiftSentence(found, beside)).toBe(
      "The limit least likely to hold is the share below 1 µm, with 71 %. Milling about 4 % finer would bring the mean into the band (97 % chance of being in band).",
    );
    const inside = { ...found, fromPercent: -6, toPercent: 1, sizeChangePercent: 0.6 };
    expect(sizeShiftSentence(inside, beside)).toBe(
      "The limit least likely to hold is the share below 1 µm, with 71 %. Milling about 0.60 % coarser raises the chance of all limits from 62 % to 97 %.",
    );
    expect(sizeShiftSentence(inside, { ...beside, isAtLeast: true })).toContain(
      "from at least 62 % to at least 97 %",
    );
    expect(
      sizeShiftSentence({ ...found, fromPercent: -2, toPercent: 0, chanceThen: null }, beside),
    ).toContain("would leave the widest margin to the limits.");
    expect(sizeShiftSentence({ ...found, sizeChangePercent: -0.49 }, beside)).toContain(
      "Neither finer nor coarser milling would raise this chance.",
    );
    expect(sizeShiftSentence({ ...found, sizeChangePercent: 0, chanceNow: 0.96 }, beside)).toBe(
      "No change is needed.",
    );
    expect(sizeShiftSentence({ ...found, chanceNow: 0.009 }, beside)).toMatch(/^Milling/);
    expect(sizeShiftSentence({ ...found, sizeChangePercent: -0.5 }, beside)).toContain("about 0.50 % finer");
    for (const missing of [{ fromPercent: null }, { toPercent: null }])
      expect(
        sizeShiftSentence(
          {
            ...found,
            ...missing,
            chanceNow: null,
            inTheWay: [{ limit: "d10Um" }, { limit: "belowShare", sizeUm: 1 }],
          },
          beside,
        ),
      ).toMatch(
        /^The chance of being in band .* three runs, .* Finer or coarser milling alone cannot bring the mean into the band: at the best size, about 4 % finer, D10 and the share below 1 µm are still out of band/,
      );
    // Common practice of firing and milling, no source: what firing bound together or made coarse is not the mill's alone.
    const refired = { ...beside, step: "heat-treated" } as const;
    expect(sizeShiftSentence(found, refired)).toMatch(
      /Powder about 4 % finer would bring the mean into the band.*\. The next lot: mill it finer, or re-fire it cooler or shorter\. This one: re-mill it gently, or blend it with a finer lot\.$/,
    );
    expect(sizeShiftSentence(inside, refired)).toMatch(/re-fire it hotter or longer.*re-fire it once more/);
    const tail = { ...found, fromPercent: null, inTheWay: [{ limit: "d90Um" }] };
    expect(sizeShiftSentence(tail, refired)).toMatch(
      /re-firing bound together goes back by gentle re-milling/,
    );
    expect(sizeShiftSentence({ ...tail, inTheWay: [{ limit: "d10Um" }] }, refired)).not.toContain("bound");
    expect(sizeShiftSentence(surely, refired)).toBe("No change is needed.");
    const asItStands = { ...found, fromPercent: null, sizeChangePercent: 0, inTheWay: [{ limit: "span" }] };
    expect(sizeShiftSentence(asItStands, beside)).toMatch(
      /at the best size, which is today's, the span is still out of band/,
    );
    expect(sizeShiftSentence({ ...asItStands, isAnySize: true }, beside)).toMatch(
      /into the band: the span is out of band at any size, so the shape of the distribution must change\.$/,
    );
  });
});

describe("a wheel whose band is for re-fired powder, without a lot that has both", () => {
  const band = (high: number | null): Band => ({
    version: 1,
    name: "b",
    stage: "re-fired",
    densityGPerCm3: null,
    rule: "simple",
    envelope: null,
    rows: [{ limit: "d50Um", low: 1, high }],
  });
  const milled = (median: number) => ({
    d10Um: null,
    d90Um: null,
    d50Um: { median, low: 1, high: 9, level: 0.9 },
  });
  test("how much growth D50 would bear", () => {
    expect(notRefired(band(3.3), milled(3))).toMatch(
      /D50 would leave the band if it grew by more than 10 %\.$/,
    );
    expect(notRefired(band(3.3), milled(3.3))).toMatch(
      /The D50 of the milled powder is already above the band\.$/,
    );
    for (const said of [notRefired(band(null), milled(3)), notRefired(band(3), null)])
      expect(said).toMatch(/how much re-firing coarsens the powder is not known\.$/);
  });
});

describe("results over lots", () => {
  const names = ["a", "b", "c", "d", "e", "f", "g", "h", "i", "j"];
  test("a chart is steady, provisional below ten lots, or not steady where a rule is broken", () => {
    const five = [1, 2, 1, 2, 1];
    // Mean 1.4, moving range 1: 1.4 ± 3/1.128 = −1.26 … 4.06.
    expect(chartSentence("d50", names.slice(0, 5), individuals(five))).toBe(
      "Five lots are too few to call d50 steady; no control rule is broken (provisional control limits −1.26–4.06).",
    );
    expect(chartSentence("d50", names, individuals([...five, ...five]))).toMatch(
      /^D50 is steady over ten lots \(control limits /,
    );
    expect(chartSentence("d50", names.slice(0, 4), null)).toBe(
      "D50 has no control limits yet: they need five lots, and there are four lots.",
    );
    const jump = chartSentence("d50", names, individuals([1, 1.1, 1, 1.1, 1, 1.1, 1, 1.1, 1, 5]));
    expect(jump).toMatch(/^D50 is not steady: .* and j \(beyond a limit, high\) \(control limits /);
  });
  test("an effect with its slope, and none", () => {
    const xs = [1, 2, 3, 4, 5, 6];
    const line = lineThrough(xs, [2, 4, 6, 8, 10, 12.1], 0.95);
    const said = { of: "d50", factor: "firing", per: "a unit", lots: 6, line };
    expect(effectSentence({ ...said, verdict: "rises" })).toMatch(
      /^D50 rises with firing by 2\.01 a unit \(1\.9\d–2\.0\d, six lots\)\. This is a correlation/,
    );
    expect(effectSentence({ ...said, verdict: "no effect told" })).toMatch(
      /^No significant effect of firing on d50 was found: \+2\.01 a unit/,
    );
    expect(effectSentence({ ...said, lots: 4, line: null, verdict: "too few lots" })).toBe(
      "There are too few lots to find an effect of firing on d50: four lots, but six lots with different settings are needed.",
    );
  });
});

describe("the BET area ahead", () => {
  const ahead: Parameters<typeof predictedBetSentence>[0] = {
    basis: "pairs",
    form: "ratio",
    pairs: 4,
    stale: { pairs: 0, differing: [] },
    errors: null,
    isLowerBound: false,
    median: 1.25,
    low: 1.1,
    high: 1.4,
    level: 0.95,
    chanceWithin: null,
    cameBack: null,
    amongPairs: null,
  };
  test("its interval, form, chance and pairs left out", () => {
    expect(predictedBetSentence(ahead)).toBe(
      "The predicted BET area is 1.25 m²/g (1.10–1.40 in 95 % of cases; four pairs, ratio).",
    );
    expect(
      predictedBetSentence({
        ...ahead,
        form: "offset and ratio",
        errors: { ratio: 0.1, offset: 0.05 },
        chanceWithin: 0.8,
        stale: { pairs: 1, differing: ["instrument"] },
      }),
    ).toBe(
      "The predicted BET area is 1.25 m²/g (1.10–1.40 in 95 % of cases; four pairs, offset and ratio; leave-one-out error 5.00 %, with the ratio alone 10.0 %). The chance of being within the BET limits is 80 %. One pair is not used: measured with a different instrument.",
    );
    expect(predictedBetSentence({ ...ahead, low: null, high: null, pairs: 1 })).toContain(
      "(no interval; one pair, ratio)",
    );
    expect(predictedBetSentence({ ...ahead, low: 0.07 })).toContain("(0.0700–1.40 in ");
    expect(predictedBetSentence({ ...ahead, low: 0.069 })).toContain("no useful interval");
    expect(predictedBetSentence({ ...ahead, basis: "guess" })).toContain(
      "Rough estimate of the BET area: 1.10–1.40 m²/g.",
    );
  });
  test("a value that came back", () => {
    const back = (z: number | null, isUnexpected: boolean | null) => ({
      betM2PerG: 2,
      z,
      isUnexpected,
      reasons: ["fines"],
    });
    expect(predictedBetSentence({ ...ahead, cameBack: back(null, null) })).toContain(
      "cannot be assessed yet",
    );
    expect(predictedBetSentence({ ...ahead, cameBack: back(1, false) })).toMatch(
      /The measured 2\.00 m²\/g agrees with the prediction\.$/,
    );
    expect(predictedBetSentence({ ...ahead, cameBack: back(3.5, true) })).toMatch(
      /is higher than predicted \(3\.5 standard deviations\)\. Possible causes: fines\.$/,
    );
    expect(predictedBetSentence({ ...ahead, cameBack: back(-3.5, true) })).toContain(
      "is lower than predicted (3.5 standard deviations)",
    );
    const bound = (median: number) =>
      predictedBetSentence({ ...ahead, isLowerBound: true, median, cameBack: back(0, false) });
    expect(bound(2.1)).toMatch(/The measured 2\.00 m²\/g is below the lower bound of about 2\.10 m²\/g\.$/);
    expect(bound(1.9)).toMatch(/cannot be assessed: only a lower bound is predicted\.$/);
    expect(predictedBetSentence({ ...ahead, basis: "guess", cameBack: back(-3.5, true) })).toContain(
      "(outside even the rough estimate)",
    );
  });
});

describe("repeat runs", () => {
  const edges = Array.from({ length: 61 }, (_, i) => 0.1 * 1000 ** (i / 60));
  const run = (medianUm: number, gsd: number, name: string): NamedMeasurement => {
    const q = edges.map((x) => logNormal.cdf({ medianUm, gsd }, x));
    const raw = q.slice(1).map((v, i) => v - (q[i] ?? 0));
    const sum = raw.reduce((a, b) => a + b, 0);
    return {
      file: "f.csv",
      name,
      distribution: sizeDistribution({
        quantity: "volume",
        lowerUm: edges.slice(0, -1),
        upperUm: edges.slice(1),
        shares: raw.map((v) => v / sum),
      }),
    };
  };
  const trend = (medians: readonly number[], gsds: readonly number[]) =>
    runsAnswer(medians.map((m, i) => run(m, gsds[i] ?? 1.6, `run ${i + 1}`))).sentence;
  const even = [3, 3.001, 2.999, 3, 3.001];
  test("what a trend means goes by the end that moves", () => {
    const wider = [1.5, 1.52, 1.54, 1.56, 1.58];
    expect(trend([3, 2.9, 2.8, 2.7, 2.6], [])).toContain("D90 falls from run to run");
    expect(trend([3, 3.1, 3.2, 3.3, 3.4], [])).toContain("D90 rises from run to run");
    // With D90 held, D10 is D90 over gsd^2.563: wider is finer there.
    const jitter = [1, 1.001, 0.999, 1.0005, 1];
    const held = (gsd: number, i: number) => (5 * (jitter[i] ?? 1)) / gsd ** 1.2815515655;
    expect(trend(wider.map(held), wider)).toContain("D10 falls from run to run while D90 is constant");
    expect(trend(wider.toReversed().map(held), wider.toReversed())).toContain(
      "D10 rises from run to run while D90 is constant",
    );
    const slight = [3, 3.001, 3.002, 3.003, 3.004];
    expect(trend(slight, [])).toMatch(
      /D90 rises from run to run, within the limits of the run-to-run scatter\. The intervals assume independent runs\./,
    );
    const odd = [3, 3.001, 3.002, 3.003, 3.004, 3.005, 4.5];
    expect(trend(odd, [])).toMatch(/is an outlier/);
    expect(trend(odd, [])).not.toContain("from run to run");
    expect(trend(even, [])).not.toMatch(/falls|rises|from run to run/);
  });
  test("a copy and a mean are named", () => {
    const lot = [3, 3.1, 2.9, 3.05].map((m, i) => run(m, 1.6, `run ${i + 1}`));
    const copy = { ...(lot[0] ?? run(3, 1.6, "")), name: "again" };
    expect(runsAnswer([...lot, copy]).sentence).toContain("run 1 and again are identical to the last digit");
  });
});

test("a fit of nothing has no note about intervals", () => {
  const one = sizeDistribution({ quantity: "volume", lowerUm: [1], upperUm: [2], shares: [1] });
  const { problems } = fitAnswer([{ file: null, name: "one", distribution: one }]);
  expect(new Set(problems.map((p) => p.severity))).toEqual(new Set(["refused"]));
});

test("the last stage that has runs; a reference only where there is nothing else", () => {
  const of = (...stages: readonly ("fired" | "milled" | "reference")[]) =>
    lastStage(stages.map((stage) => ({ stage })));
  expect(of("fired", "milled", "reference")).toBe("milled");
  expect(of("reference")).toBe("reference");
  expect(of()).toBeNull();
});

test("a band's headline says what it asks of which powder, three limits at most by name", () => {
  const band = (rows: Band["rows"]) => ({ name: "Target", stage: "milled", rows, envelope: null });
  expect(bandRequirement(band([]))).toBe("Target has no limits yet.");
  expect(
    bandRequirement({
      ...band([]),
      envelope: { sizesUm: [1, 2], lowShares: [0, 0.5], highShares: [0.1, 0.6] },
    }),
  ).toBe("Target for milled powder requires a curve within its envelope.");
  const rows = [
    { limit: "d50Um", low: 3.1, high: 3.65 },
    { limit: "belowShare", sizeUm: 1, low: null, high: 0.035 },
    { limit: "span", low: 1.1, high: null },
    { limit: "d90Um", low: null, high: 6 },
  ];
  expect(bandRequirement(band(rows.slice(0, 3)))).toBe(
    "Target for milled powder requires D50 3.10–3.65 µm, the share below 1 µm at most 3.50 % and the span at least 1.10.",
  );
  expect(bandRequirement(band(rows))).toMatch(/the span at least 1\.10 and one more limit\.$/);
});

test("of just as many lots as are needed, a setting that was the same for all is told as such", () => {
  const of = {
    of: "d50Um",
    factor: "firingC",
    per: "a unit",
    line: null,
    verdict: "no effect told",
  } as const;
  expect(effectSentence({ ...of, lots: 6 })).toBe(
    "No effect of firing temperature on D50 can be found: firing temperature was the same for all six lots.",
  );
  expect(effectSentence({ ...of, lots: 5 })).toMatch(
    /^There are too few lots .* five lots, but six lots .* are needed\.$/,
  );
});
