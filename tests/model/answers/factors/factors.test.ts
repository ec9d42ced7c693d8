import { describe, expect, test } from "vitest";
import { driftChart } from "#model/answers/factors/driftAnswer.ts";
import { factorsAnswer } from "#model/answers/factors/factorsAnswer.ts";
import type { LotHistory } from "#model/answers/factors/historyAnswer.ts";
import { nextTrialAnswer } from "#model/answers/factors/nextTrialAnswer.ts";
import { settingEffect, settingsPlane } from "#model/answers/factors/settingEffect.ts";
import { trialYield } from "#model/mill/trials/trialYield.ts";
import { tellingNames } from "#model/pictures/tellingNames.ts";

/** Scatter that is there without chance: −1 … 1 in an order of its own. */
const scatter = [0.3, -0.7, 0.9, -0.2, -0.9, 0.6, 0.1, -0.4, 0.8, -0.6, 0.5, -0.3];
const temperature = [1500, 1540, 1520, 1560, 1500, 1560, 1540, 1520, 1500, 1560, 1520, 1540];
const time = [2, 4, 4, 2, 4, 4, 2, 2, 2, 2, 4, 4];

function historyWith(more: LotHistory["columns"] = [], slope = 0.002): LotHistory {
  const d50 = temperature.map((t, i) => 3 * Math.exp(slope * (t - 1530) + 0.005 * (scatter[i] ?? 0)));
  return {
    lots: temperature.map((_, i) => `lot ${i + 1}`),
    columns: [
      { name: "temperature", unit: "°C", values: temperature },
      { name: "time", unit: "h", values: time },
      { name: "D50", unit: "µm", values: d50 },
      ...more,
    ],
  };
}
const asked = { of: ["D50"], factors: ["temperature", "time"] };

describe("settings and results in an answer", () => {
  test("a slope fitted on ln is said in the result's unit per unit of the setting, at the geometric mean", () => {
    const answer = factorsAnswer(historyWith(), asked);
    const own = answer.effects.find((e) => e.factor === "temperature");
    expect(own?.verdict).toBe("goes with it");
    // d ln D50 = 0.002 per °C at 3 µm: 0.006 µm per °C.
    expect(own?.slope).toBeCloseTo(0.006, 3);
    expect(own?.per).toBe("µm per °C");
    expect(answer.sentence).toMatch(/^D50 rises with temperature by 0\.00\d+ µm per °C \(.*twelve lots\)/);
    expect(answer.effects.find((e) => e.factor === "time")?.smallest?.overRange).toBeGreaterThan(0);
  });

  test("it claims nothing where nothing is, and says what such lots would have shown", () => {
    const answer = factorsAnswer(historyWith([], 0), asked);
    expect(answer.effects.map((e) => e.verdict)).toEqual(["not shown", "not shown"]);
    expect(answer.sentence).toBe("No effect is shown of temperature and time on D50.");
    expect(answer.effects[0]?.sentence).toMatch(
      /would show a change of .* µm over its range four times in five; \S+ lots more/,
    );
  });

  test("a setting that most lots lack is left out by name, so that the others are still judged", () => {
    const dopant = {
      name: "dopant",
      unit: "mol %",
      values: [1, 2, ...Array.from({ length: 10 }, () => null)],
    };
    const answer = factorsAnswer(historyWith([dopant]), { ...asked, factors: [...asked.factors, "dopant"] });
    expect(answer.problems.map((p) => p.message).join(" ")).toMatch(
      /dopant is known of two lots only and is left out/,
    );
    expect(answer.effects.find((e) => e.factor === "temperature")?.verdict).toBe("goes with it");
  });

  test("a column that is not there, one level only, and too few lots are said", () => {
    const same = { name: "excess", unit: "%", values: temperature.map(() => 2) };
    const missing = factorsAnswer(historyWith([same]), { of: ["D50"], factors: ["excess", "pressure"] });
    expect(missing.problems[0]?.message).toMatch(/There is no column pressure\. The columns are/);
    expect(missing.effects[0]?.verdict).toBe("does not vary");
    const whole = historyWith();
    const few = {
      lots: whole.lots.slice(0, 4),
      columns: whole.columns.map((c) => ({ ...c, values: c.values.slice(0, 4) })),
    };
    expect(factorsAnswer(few, asked).sentence).toMatch(
      /too few lots to judge temperature and D50: four lots/,
    );
  });

  test("drift never says steady; a step alarms and is named", () => {
    const values = Array.from(
      { length: 16 },
      (_, i) => 3 + 0.05 * (scatter[i % 12] ?? 0) + (i > 9 ? 0.5 : 0),
    );
    const lots = values.map((_, i) => `lot ${i + 1}`);
    expect(driftChart(lots, { name: "D50", unit: "µm", values }).sentence).toMatch(/^D50 left its limits at/);
    const quiet = values.map((_, i) => 3 + 0.05 * (scatter[(5 * i) % 12] ?? 0));
    const steady = driftChart(lots, { name: "D50", unit: "µm", values: quiet });
    expect(steady.sentence).toMatch(
      /^No alarm in D50 over \S+ lots; a step of two standard deviations .* \d+ %/,
    );
    expect(driftChart(lots.slice(0, 3), { name: "D50", values: values.slice(0, 3) }).sentence).toMatch(
      /not judged yet: limits need eight lots, and there are three lots/,
    );
  });
});

describe("the next lot", () => {
  test("it stays within the limits given, and says when that leaves what was tried", () => {
    const within = { temperature: { from: 1570, to: 1580 }, time: { from: 3, to: 3 } };
    const answer = nextTrialAnswer(historyWith(), { of: "D50", factors: asked.factors, within });
    for (const { factor, value } of answer.splitting?.settings ?? []) {
      expect(value).toBeGreaterThanOrEqual(factor === "time" ? 3 : 1570);
      expect(value).toBeLessThanOrEqual(factor === "time" ? 3 : 1580);
    }
    expect(answer.splitting?.isExtrapolation).toBe(true);
    expect(answer.likeliest).toBeNull();
  });

  test("the likeliest lot lies where the regression puts the result inside its limits", () => {
    // 3 µm lies at 1530 °C.
    const answer = nextTrialAnswer(historyWith(), {
      of: "D50",
      factors: asked.factors,
      limits: { low: 2.95, high: 3.05 },
    });
    const at = answer.likeliest?.settings.find(({ factor }) => factor === "temperature")?.value ?? 0;
    expect(Math.abs(at - 1530)).toBeLessThanOrEqual(15);
    expect(answer.cautions[0]).toMatch(/furnace's manual/);
  });

  test("limits of a setting that is no factor are refused by name", () => {
    const answer = nextTrialAnswer(historyWith(), {
      of: "D50",
      factors: ["time"],
      within: { temperature: { from: 1, to: 2 } },
    });
    expect(answer.problems[0]?.message).toMatch(
      /Limits are given for temperature, which is not among the factors/,
    );
  });
});

describe("pictures of settings", () => {
  test("the line of an effect passes through the means, its interval is narrowest there", () => {
    const found = settingEffect(historyWith(), { of: "D50", factor: "temperature", beside: ["time"] });
    const widths = found?.line.map(({ low, high }) => Math.log(high / low)) ?? [];
    expect(Math.min(...widths)).toBeCloseTo(widths[10] ?? 0, 6);
    expect(found?.points).toHaveLength(12);
  });

  test("along a line of equal result the plane gives that result", () => {
    const plane = settingsPlane(historyWith(), { of: "D50", first: "temperature", second: "time" });
    const up = plane?.yFor(1530, 3.1) ?? 0;
    expect(plane?.at(1530, up)).toBeCloseTo(3.1, 9);
  });

  test("the words that all names begin with are left off", () => {
    expect(tellingNames(["Garnet host, lot 07", "Garnet host, lot 12"])).toEqual(["lot 07", "lot 12"]);
    expect(tellingNames(["A 1", "B 1"])).toEqual(["A 1", "B 1"]);
    expect(tellingNames(["alone"])).toEqual(["alone"]);
  });
});

describe("yield of trials", () => {
  const trial = (feedKgPerH: number | null, productKgPerH?: number) => ({
    speedRpm: 5000,
    gasFlowM3PerH: null,
    feedKgPerH,
    d10Um: null,
    d50Um: 3,
    d90Um: null,
    ...(productKgPerH === undefined ? {} : { productKgPerH }),
  });
  test("none weighed is not known; one has no interval; three have one by Student's t on ln", () => {
    expect(trialYield([trial(8), trial(null, 7)])).toBeNull();
    expect(trialYield([trial(8, 6)])).toMatchObject({ median: 0.75, low: null, high: null, weighed: 1 });
    const found = trialYield([trial(10, 8), trial(10, 9), trial(10, 8.5)]);
    // ln 0.8, 0.9, 0.85: mean −0.16367, s 0.058913; t(0.95, 2) = 2.919986; reach 2.919986·0.058913·√(4/3) = 0.198638.
    expect(found?.median).toBeCloseTo(0.84902, 4);
    expect(found?.low).toBeCloseTo(0.84902 * Math.exp(-0.198638), 3);
    expect(found?.high).toBe(1);
  });
});
