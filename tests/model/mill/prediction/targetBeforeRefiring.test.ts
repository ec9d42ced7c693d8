import { describe, expect, test } from "vitest";
import { undersizeAt } from "#distributions/curve.ts";
import { wheelAnswer } from "#model/answers/mill/wheelAnswer.ts";
import { chanceInBand } from "#model/mill/prediction/chanceInBand.ts";
import { fitMill } from "#model/mill/prediction/fittedMill.ts";
import { judgedRows } from "#model/mill/prediction/judgedRows.ts";
import { predictedProductAt, thinned } from "#model/mill/prediction/predictedProduct.ts";
import { readRefiring } from "#model/mill/prediction/readRefiring.ts";
import { refiredCurve } from "#model/mill/prediction/refiredCurve.ts";
import {
  growthByPercent,
  type RefiringPair,
  shiftPrediction,
} from "#model/mill/prediction/refiringGrowth.ts";
import { d50MovedTo, predictionAt } from "#model/mill/trials/trialFit.ts";
import { chanceBelow, mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { tQuantile } from "#model/numbers/studentT.ts";
import { demoBand, demoMill, demoTrials } from "../demo.ts";

const pair = (lot: string, ...growth: number[]): RefiringPair => ({
  lot,
  percents: [10, 50, 90],
  milledUm: [1.6, 3, 5.4],
  refiredUm: [1.6, 3, 5.4].map((d, i) => d * (growth[i] ?? 1)),
});
const three = [pair("a", 1.15, 1.12, 1.1), pair("b", 1.14, 1.13, 1.1), pair("c", 1.16, 1.14, 1.12)];
const plan = { speedRpm: 6000, targetD50Um: 3.36 };

describe("what re-firing adds", () => {
  test.each([0.025, 0.05, 0.5, 0.95])(
    "a further lot's shift is Student's t on the lots' own logs, at %f (to 3 % of its spread)",
    (p) => {
      const shift = growthByPercent(three);
      if (shift === null) throw new Error("three pairs make a shift");
      const logs = [1.12, 1.13, 1.14].map(Math.log);
      const mean = logs.reduce((a, b) => a + b) / 3;
      const sd = Math.sqrt(logs.reduce((a, b) => a + (b - mean) ** 2, 0) / 2) * Math.sqrt(4 / 3);
      const expected = p === 0.5 ? mean : mean + tQuantile(p, 2) * sd;
      expect(Math.abs(mixtureQuantile(shiftPrediction(shift, 50), p) - expected)).toBeLessThan(
        0.03 * Math.max(sd, Math.abs(expected - mean)),
      );
    },
  );
  test("the mill's growth is set back: the speed for a re-fired target is that of the milled target over the growth", () => {
    const set = wheelAnswer(demoMill, demoTrials, { ...plan, refire: [pair("a", 1.1, 1.1, 1.1)] });
    const plain = wheelAnswer(demoMill, demoTrials, { ...plan, targetD50Um: 3.36 / 1.1 });
    expect(set.speedRpm?.median).toBeCloseTo(plain.speedRpm?.median ?? 0, -1);
    expect(set.words.target).toMatch(/^Set \S+ rpm \(90 %: .*\) for D50 3\.36 µm re-fired\./);
    expect(set.refired).toMatchObject({ lots: 1, hasSpread: false });
  });
  test("with three lots the re-fired interval is wider than the milled one, and the band is set back", () => {
    const a = wheelAnswer(demoMill, demoTrials, { ...plan, band: demoBand, refire: three });
    const ratio = (i: { high: number; low: number } | null | undefined) => (i?.high ?? 1) / (i?.low ?? 1);
    expect(ratio(a.refired?.d50Um)).toBeGreaterThan(ratio(a.d50Um));
    expect(a.targetBeforeRefiring.find((row) => row.limit === "d50Um")?.high).toBeCloseTo(3.65 / 1.13, 2);
    expect(a.warnings.join()).not.toMatch(/may coarsen/);
  });
  test("each percentile re-fired hangs on its own growth, whatever D50 did in the same lots", () => {
    const grown = (...d50: number[]) =>
      wheelAnswer(demoMill, demoTrials, {
        ...plan,
        refire: three.map((p, i) => ({
          ...p,
          refiredUm: p.refiredUm.map((d, j) => (j === 1 ? 3 * (d50[i] ?? 1) : d)),
        })),
      }).refired;
    const [together, apart] = [grown(1.12, 1.13, 1.18), grown(1.18, 1.13, 1.12)];
    expect(together?.d90Um).toEqual(apart?.d90Um);
    expect(together?.d10Um).toEqual(apart?.d10Um);
    expect(together?.d90Um?.median).toBeGreaterThan(0);
  });
  test("where lots differ more on re-firing than runs of the mill do, it is said, with what narrows it", () => {
    const ask = (...lots: RefiringPair[]) =>
      wheelAnswer(demoMill, demoTrials, { ...plan, refire: lots }).words;
    const doubt =
      "Re-firing is the largest source of uncertainty: it changed the D50 of these lots by −4.0 to +22 % and their D90 by +10 to +42 %.";
    const odd = ask(pair("a", 1.15, 1.12, 1.1), pair("b", 1.14, 0.96, 1.12), pair("c", 1.25, 1.22, 1.42));
    expect(odd.rests).toContain(doubt);
    expect(odd.product).toContain(doubt);
    const alike = ask(...three);
    expect(`${alike.rests} ${alike.product}`).not.toContain("uncertainty");
    // Two lots say nothing of how re-firing varies, however far apart they are.
    expect(ask(pair("a", 1, 1, 1), pair("b", 1.2, 1.2, 1.2)).rests).not.toContain("uncertainty");
  });
  test("without a pair it is said that the powder may coarsen, and by how much that would matter", () => {
    const a = wheelAnswer(demoMill, demoTrials, { ...plan, band: demoBand });
    expect(a.refired).toBeNull();
    expect(a.warnings[0]).toMatch(/how much re-firing coarsens .* if it grew by more than \d+ %/);
    expect(a.words.target).toMatch(/^Set \S+ rpm \(90 %: .*\) for D50 \S+ µm milled\./);
  });
  test("each percentile of a curve grows by its own mean shift", () => {
    const shift = growthByPercent(three);
    if (shift === null) throw new Error("three pairs make a shift");
    const curve = { edgesUm: [1, 2, 3, 4, 9], undersize: [0, 0.1, 0.5, 0.9, 1], power: 0 };
    const grown = refiredCurve(curve, shift);
    expect(undersizeAt(grown, 3 * 1.13)).toBeCloseTo(0.5, 3);
    expect(undersizeAt(grown, 2 * 1.15)).toBeCloseTo(0.1, 3);
  });
  test("a table of pairs loses its bad row alone", () => {
    const heading = "lot,d10MilledUm,d50MilledUm,d90MilledUm,d10RefiredUm,d50RefiredUm,d90RefiredUm";
    const { pairs, problems } = readRefiring(`${heading}\na,1,2,3,1.1,2.2,3.3\nb,1,2,3,1.1,0,3.3\n`, "r.csv");
    expect(pairs.map((p) => p.lot)).toEqual(["a"]);
    expect(problems[0]).toMatchObject({ row: 3, found: "0" });
  });
});

describe("the chance in band", () => {
  const learned = fitMill(demoMill, demoTrials, { pairs: three });
  if (learned === null) throw new Error("the demo must teach");
  const setting = { speedRpm: 6000, flowM3PerH: 190, feedKgPerH: 8 };
  test("with D50 alone it is the difference of two chances", () => {
    const rows = judgedRows([{ limit: "d50Um", low: 2.9, high: 3.2 }], { coarse: null, fine: null });
    const p = predictionAt(learned.fit, setting);
    const direct = chanceBelow(p, Math.log(3.2)) - chanceBelow(p, Math.log(2.9));
    expect(chanceInBand(predictedProductAt(thinned(learned.fit), setting, null), rows)).toBeCloseTo(
      direct,
      2,
    );
  });
  test("three rows at once are never likelier than any one, and open rows change nothing", () => {
    const of = (limits: string[]) =>
      chanceInBand(
        predictedProductAt(learned.thin, setting, learned.growth),
        judgedRows(
          demoBand.rows.filter((r) => limits.includes(r.limit)),
          { coarse: true, fine: true },
        ),
      );
    const all = of(["d10Um", "d50Um", "d90Um"]);
    for (const one of ["d10Um", "d50Um", "d90Um"]) expect(all).toBeLessThanOrEqual(of([one]) + 1e-6);
    const open = judgedRows(
      [
        { limit: "d50Um", low: 2.9, high: 3.2 },
        { limit: "d90Um", low: null, high: null },
      ],
      { coarse: true, fine: true },
    );
    const alone = judgedRows([{ limit: "d50Um", low: 2.9, high: 3.2 }], { coarse: true, fine: true });
    const product = predictedProductAt(learned.thin, setting, learned.growth);
    expect(chanceInBand(product, open)).toBeCloseTo(chanceInBand(product, alone), 6);
  });
  test("the best setting is at least as likely in band as any tried by hand, and within the rating", () => {
    const ask = { band: demoBand, refire: three };
    const best = wheelAnswer(demoMill, demoTrials, { ...ask, speedRpm: 6000 }).inBand;
    for (const speedRpm of [5000, 5500, 6000, 6500, 7000])
      expect(wheelAnswer(demoMill, demoTrials, { ...ask, speedRpm }).inBand?.probability).toBeLessThanOrEqual(
        (best?.bestProbability ?? 0) + 1e-6,
      );
    expect(best?.bestSpeedRpm).toBeLessThanOrEqual(demoMill.ratedSpeedRpm ?? 0);
  });
  test("a trial already at the plan's setting is not moved; one at twice the flow is moved finer", () => {
    const [trial] = demoTrials;
    if (trial === undefined) throw new Error("the demo has trials");
    const own = { flowM3PerH: trial.gasFlowM3PerH ?? 0, feedKgPerH: trial.feedKgPerH };
    expect(d50MovedTo(learned.fit, trial, own)).toBeCloseTo(trial.d50Um, 9);
    expect(d50MovedTo(learned.fit, { ...trial, gasFlowM3PerH: 2 * own.flowM3PerH }, own)).toBeLessThan(
      trial.d50Um,
    );
  });
});

test("the grinding limit is held against what the mill must make: the target over the growth of D50", () => {
  const lots = [pair("a", 1, 1.1, 1.5), pair("b", 1, 1.1, 1.5)];
  const ask = { targetD50Um: 3.3, refire: lots };
  const refused = (grindingLimitUm: number) =>
    wheelAnswer({ ...demoMill, grindingLimitUm }, demoTrials, ask).refused.length;
  expect([refused(2.99), refused(3.01)]).toEqual([0, 1]);
});

test("where no row of the band can be judged no chance is spoken of", () => {
  const span = { ...demoBand, rows: demoBand.rows.filter((row) => row.limit === "span") };
  const { words } = wheelAnswer(demoMill, demoTrials, { speedRpm: 6000, band: span, refire: three });
  expect(`${words.short} ${words.product} ${words.rests}`).not.toMatch(/chance|In band means/);
});

test("below the grinding limit that the user entered nothing is predicted and no speed is suggested", () => {
  const limited = { ...demoMill, grindingLimitUm: 3.2 };
  const a = wheelAnswer(limited, demoTrials, { speedRpm: 7000, targetD50Um: 2.8 });
  expect(a.refused.map((r) => r.what)).toEqual(["d50Um", "speedRpm"]);
  expect(a.refused[0]?.reason).toMatch(/below the grinding limit of 3.2 µm/);
});
