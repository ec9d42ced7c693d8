import { describe, expect, test } from "vitest";
import { curveOf } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { dipOf } from "#model/lot/dip.ts";
import { logConcaveShares } from "#model/lot/kernels/logConcave.ts";
import { lumpsOf } from "#model/lot/lumps.ts";
import { shoulderOf } from "#model/lot/shoulder.ts";

const edges = Array.from({ length: 81 }, (_, i) => 0.1 * 2000 ** (i / 80));
const normal = (medianUm: number, gsd: number) => (x: number) => logNormal.cdf({ medianUm, gsd }, x);

function run(undersize: (x: number) => number, name = "run"): NamedMeasurement {
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
const mixed = (weight: number, times: number, shift = 1) =>
  run((x) => weight * normal(3 * times, 1.3)(x / shift) + (1 - weight) * normal(3, 1.6)(x / shift));
const three = (weight: number, times: number) =>
  [0.997, 1, 1.004].map((shift) => mixed(weight, times, shift));
const curves = (runs: readonly NamedMeasurement[]) => runs.map((m) => curveOf(m.distribution));

describe("the log-concave fit", () => {
  const at = Array.from({ length: 21 }, (_, i) => i / 10 - 1);
  const widths = at.map(() => 0.1);
  const fitted = (shares: readonly number[]) => logConcaveShares(at, widths, shares, null).shares;
  test("gives log-concave shares back as they are", () => {
    const bell = at.map((u) => 0.1 * Math.exp(-4 * u * u));
    for (const [i, share] of fitted(bell).entries()) expect(share).toBeCloseTo(bell[i] ?? 0, 5);
  });
  test("of shares that rise and fall twice is the even one between (two equal spikes)", () => {
    const spikes = at.map((_, i) => (i === 0 || i === 20 ? 0.5 : 0));
    for (const share of fitted(spikes)) expect(share).toBeCloseTo(1 / 21, 4);
  });
  test("is log-concave, of the same sum and the same mean (its slope is free)", () => {
    const rough = at.map((u, i) => 0.05 * Math.exp(-3 * u * u) * (1 + 0.3 * Math.sin(9 * i)));
    const fit = fitted(rough);
    const total = (of: readonly number[]) => of.reduce((a, b) => a + b, 0);
    const first = (of: readonly number[]) => of.reduce((sum, v, i) => sum + v * (at[i] ?? 0), 0);
    expect(total(fit)).toBeCloseTo(total(rough), 6);
    expect(first(fit)).toBeCloseTo(first(rough), 6);
    for (let i = 1; i < 20; i++)
      expect((fit[i] ?? 0) ** 2).toBeGreaterThanOrEqual((fit[i - 1] ?? 0) * (fit[i + 1] ?? 0) * (1 - 1e-9));
  });
});

describe("shoulder, lumps and dip of one powder", () => {
  test("none of a log-normal", () => {
    const plain = curves(three(0, 1));
    expect([shoulderOf(plain), lumpsOf(plain), dipOf(plain)]).toEqual([null, null, null]);
  });
  test("a shoulder at three times the median makes no dip and no lumps", () => {
    const own = curves(three(0.1, 3));
    expect(shoulderOf(own)).toMatchObject({ side: "coarse" });
    expect(lumpsOf(own)).toBeNull();
    expect(shoulderOf(own.slice(0, 2))).toBeNull();
  });
  test("2 % at ten times the median are lumps, with their share and place", () => {
    const found = lumpsOf(curves(three(0.02, 10)));
    expect(found?.share).toBeCloseTo(0.02, 3);
    expect(found?.peakUm).toBeGreaterThan(25);
    expect(found?.peakUm).toBeLessThan(35);
    expect(dipOf(curves(three(0.3, 5)))?.depth).toBeLessThan(0.6);
  });
  test("the check says lumps first, with their remedy, and a limit above a size sees them", () => {
    const { lumps, sentence, rows } = checkAnswer(three(0.02, 10), {
      version: 1,
      name: "b",
      stage: "milled",
      densityGPerCm3: null,
      rule: "two-sided",
      rows: [
        { limit: "d50Um", low: 2, high: 4 },
        { limit: "aboveShare", sizeUm: 15, low: null, high: 0.005 },
      ],
      envelope: null,
    });
    expect(lumps?.aboveUm).toBeGreaterThan(10);
    expect(sentence).toMatch(
      /^Out of band, three runs\. 2\.0\d % lies above \S+ µm, apart from the main powder: lumps\? An air classifier/,
    );
    expect(rows[1]?.value).toBeCloseTo(0.02, 2);
    expect(sentence).toMatch(/above 15 µm .*2\.\d+ % .* is above its upper limit of 0\.500 %/);
  });
});
