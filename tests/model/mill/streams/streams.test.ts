import { describe, expect, test } from "vitest";
import { type Curve, sizeAt } from "#distributions/curve.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { batchAnswer } from "#model/answers/mill/batchAnswer.ts";
import { streamsAnswer } from "#model/answers/mill/streamsAnswer.ts";
import { passing } from "#model/mill/separation/separation.ts";
import { gradeEfficiency } from "#model/mill/streams/gradeEfficiency.ts";
import { reconcile } from "#model/mill/streams/reconcile.ts";
import { figures } from "#model/words/wording.ts";

const edges = Array.from({ length: 97 }, (_, i) => 0.2 * 500 ** (i / 96));
const curveOfShares = (shares: readonly number[]): Curve => {
  let sum = 0;
  const whole = shares.reduce((a, b) => a + b, 0);
  const reached = shares.map((v) => {
    sum += v / whole;
    return Math.min(sum, 1);
  });
  return { edgesUm: edges, undersize: [0, ...reached.slice(0, -1), 1], power: 0 };
};
const feedShares = edges.slice(1).map((x, i) => {
  const q = (s: number) => normalForm.undersize(Math.log(s / 6) / Math.log(2));
  return q(x) - q(edges[i] ?? 0);
});

/** A separator whose cut, sharpness and bypass are known, and what it would give. */
function separated(noise: (i: number) => number = () => 0) {
  const pass = passing({ kind: "log-logistic", cutUm: 5, sharpness: 0.6, bypassShare: 0.08, leakShare: 0 });
  const passed = edges.slice(1).map((x, i) => pass(Math.sqrt(x * (edges[i] ?? x))));
  const fines = feedShares.map((f, i) => f * (passed[i] ?? 0));
  const whole = feedShares.reduce((a, b) => a + b, 0);
  const fineYield = fines.reduce((a, b) => a + b, 0) / whole;
  return {
    fineYield,
    streams: {
      feed: curveOfShares(feedShares.map((v, i) => v * (1 + noise(i)))),
      fines: curveOfShares(fines.map((v, i) => v * (1 + noise(i + 200)))),
      coarse: curveOfShares(feedShares.map((f, i) => f * (1 - (passed[i] ?? 0)) * (1 + noise(i + 400)))),
      fineYield: null,
    },
  };
}

describe("three streams", () => {
  test("the closure is what the balance is out by, class by class (worked by hand)", () => {
    // Of 48 classes each half holds 1/24 of a curve's share: 0.5·0.8 + 0.5·0.2 against 0.53, out by 0.03/24 either way.
    const split = (q: number): Curve => ({ edgesUm: [1, 2, 4], undersize: [0, q, 1], power: 0 });
    const found = reconcile({ feed: split(0.53), fines: split(0.8), coarse: split(0.2), fineYield: 0.5 });
    expect(found?.closureRmsPoints).toBeCloseTo(3 / 24, 9);
    expect(found?.closureMaxPoints).toBeCloseTo(3 / 24, 9);
    // 0.53 = ν·0.8 + (1 − ν)·0.2, both halves alike.
    expect(found?.fineYieldOfCurves).toBeCloseTo(0.55, 2);
    expect(found?.fineYield).toBe(0.5);
    expect(reconcile({ feed: split(0.5), fines: split(0.4), coarse: split(0.4), fineYield: 0.5 })).toBeNull();
  });
  test("streams that agree give their yield, close, and come back as they were", () => {
    const { streams, fineYield } = separated();
    const found = reconcile(streams);
    expect(found?.fineYield).toBeCloseTo(fineYield, 9);
    expect(found?.closureMaxPoints).toBeLessThan(1e-9);
    for (const list of [found?.feed, found?.fines, found?.coarse])
      expect(list?.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
  });
  test("cut, sharpness and bypass of the separator come back", () => {
    const found = reconcile(separated().streams);
    const of = found === null ? null : gradeEfficiency(found);
    expect(of?.status).toBe("converged");
    expect(of?.cutUm).toBeCloseTo(5, 1);
    expect(of?.sharpness).toBeCloseTo(0.6, 2);
    expect(of?.bypassShare).toBeCloseTo(0.08, 2);
    expect(of?.rmsPoints).toBeLessThan(0.5);
  });
  test("with 3 % noise on every class they still agree afterwards, and the separator is found", () => {
    const wobble = (i: number) => 0.03 * Math.sin(12.9898 * i) * Math.cos(78.233 * i + 1);
    const { streams } = separated(wobble);
    const found = reconcile(streams);
    if (found === null) throw new Error("they differ");
    for (const [i, f] of found.feed.entries()) {
      const sum = found.fineYield * (found.fines[i] ?? 0) + (1 - found.fineYield) * (found.coarse[i] ?? 0);
      expect(Math.abs(sum - f)).toBeLessThan(2e-4);
    }
    expect(gradeEfficiency(found)?.cutUm).toBeGreaterThan(4.8);
    expect(gradeEfficiency(found)?.cutUm).toBeLessThan(5.2);
  });
  test("a swapped or wrong sample is said; one powder thrice has no grade efficiency", () => {
    const { streams } = separated();
    const wrong = streamsAnswer({ ...streams, fineYield: 0.95 });
    expect(wrong.sentence).toMatch(
      /the mass balance does not close \(root mean square .* in the worst, \S+ µm\)/,
    );
    expect(wrong.sentence).toContain(wrong.worstClassUm?.map((um) => figures(um)).join("–"));
    expect(wrong.warnings.join(" ")).toMatch(/may not belong together.*disagree/);
    const same = { feed: streams.feed, fines: streams.feed, coarse: streams.feed, fineYield: null };
    expect(streamsAnswer(same).sentence).toMatch(/nothing was separated/);
  });
});

describe("batch milling", () => {
  const start: Curve = { edgesUm: [2, 20, 60], undersize: [0, 0.5, 1], power: 0 };
  test("the course passes through the measurement that gave the rate, and reaches the target at its time", () => {
    const answer = batchAnswer(start, { afterMin: 30, d50AfterUm: 8, targetD50Um: 4 });
    expect(answer.refused).toBeNull();
    const at = (minutes: number) =>
      answer.course.reduce((best, s) =>
        Math.abs(s.minutes - minutes) < Math.abs(best.minutes - minutes) ? s : best,
      );
    const whole = batchAnswer(start, {
      afterMin: answer.minutesToTarget ?? 1,
      d50AfterUm: 4,
      targetD50Um: 8,
    });
    expect(whole.minutesToTarget).toBeCloseTo(30, 3);
    expect(answer.minutesToTarget).toBeGreaterThan(30);
    const medians = answer.course.map((s) => s.d50Um ?? 0);
    expect([...medians].sort((a, b) => b - a)).toEqual(medians);
    expect(medians[0]).toBeCloseTo(sizeAt(start, 0.5) ?? 0, 6);
    expect(at(answer.minutesToTarget ?? 0).d50Um).toBeLessThan(6);
    // At the start each percentile is that of the powder that went in.
    const [first] = answer.course;
    expect(first?.d10Um).toBeCloseTo(sizeAt(start, 0.1) ?? 0, 12);
    expect(first?.d90Um).toBeCloseTo(sizeAt(start, 0.9) ?? 0, 12);
  });
  test.each([
    [
      "a powder that got no finer",
      { afterMin: 30, d50AfterUm: 25, targetD50Um: null },
      /not finer than at the start/,
    ],
    ["a time of zero", { afterMin: 0, d50AfterUm: 8, targetD50Um: null }, /above zero/],
  ])("%s is refused with a remedy", (_, options, reason) => {
    const { refused, sentence } = batchAnswer(start, options);
    expect(refused?.reason).toMatch(reason);
    expect(sentence).not.toMatch(/NaN/);
  });
});
