import { describe, expect, test } from "vitest";
import { streamsAnswer } from "#model/answers/mill/streamsAnswer.ts";
import { gradeEfficiency } from "#model/mill/streams/gradeEfficiency.ts";
import { reconcile } from "#model/mill/streams/reconcile.ts";
import { figures } from "#model/words/wording.ts";

const edgesUm = Array.from({ length: 21 }, (_, i) => 0.5 * 1.3 ** i);
const mids = edgesUm.slice(1).map((x, i) => Math.sqrt(x * (edgesUm[i] ?? 1)));
/** T′ of a log-logistic wheel: bypass and the rest by the curve, steepness ln 9 / −ln κ. */
const curve = (x: number, cutUm: number, sharpness: number, bypass: number) =>
  bypass + (1 - bypass) / (1 + (cutUm / x) ** (Math.log(9) / -Math.log(sharpness)));
const feed = mids.map((_, i) => (1 + (i % 4)) / 50);
const streams = (wave: number) => ({
  edgesUm,
  feed,
  fines: feed,
  coarse: feed,
  fineYield: 0.5,
  fineYieldOfCurves: 0.5,
  closureRmsPoints: 0,
  closureMaxPoints: 0,
  thrownBack: mids.map((x, i) => curve(x, 4, 0.6, 0.1) + wave * Math.cos(2 * i)),
});

describe("cut, sharpness and bypass of a grade-efficiency curve", () => {
  test("come back from the curve they were made of, with no misfit", () => {
    const found = gradeEfficiency(streams(0));
    expect(found?.cutUm).toBeCloseTo(4, 6);
    expect(found?.sharpness).toBeCloseTo(0.6, 6);
    expect(found?.bypassShare).toBeCloseTo(0.1, 6);
    expect(found?.rmsPoints).toBeLessThan(1e-6);
    expect(found?.status).toBe("converged");
  });
  test("errors are √(SSE/(N−3) · (JᵀJ)⁻¹) over ln cut, sharpness and bypass, and the misfit is weighed by the feed (definition)", () => {
    const wavy = streams(0.01);
    const found = gradeEfficiency(wavy);
    if (found === null) throw new Error("twenty classes are enough");
    const p = [Math.log(found.cutUm), found.sharpness, found.bypassShare];
    const residuals = (q: readonly number[]) =>
      mids.map((x, i) => {
        const t = curve(x, Math.exp(q[0] ?? 0), q[1] ?? 0.5, q[2] ?? 0);
        return Math.sqrt(feed[i] ?? 0) * ((wavy.thrownBack[i] ?? 0) - t);
      });
    const squares = residuals(p).reduce((sum, r) => sum + r * r, 0);
    const mass = feed.reduce((a, b) => a + b, 0);
    expect(found.rmsPoints).toBeCloseTo(100 * Math.sqrt(squares / mass), 8);
    const d = 1e-5;
    const columns = p.map((_, k) => {
      const up = residuals(p.map((v, j) => (j === k ? v + d : v)));
      const down = residuals(p.map((v, j) => (j === k ? v - d : v)));
      return up.map((v, i) => (v - (down[i] ?? 0)) / (2 * d));
    });
    const s = (a: number, b: number) =>
      (columns[a] ?? []).reduce((sum, v, i) => sum + v * (columns[b]?.[i] ?? 0), 0);
    const cofactor = (a: number, b: number) => s(a, a) * s(b, b) - s(a, b) ** 2;
    const determinant =
      s(0, 0) * cofactor(1, 2) -
      s(0, 1) * (s(0, 1) * s(2, 2) - s(1, 2) * s(0, 2)) +
      s(0, 2) * (s(0, 1) * s(1, 2) - s(1, 1) * s(0, 2));
    const variance = squares / (mids.length - 3);
    for (const [k, [a, b]] of (
      [
        [1, 2],
        [0, 2],
        [0, 1],
      ] as const
    ).entries())
      expect(
        (found.standardErrors?.[k] ?? 0) / Math.sqrt((variance * cofactor(a, b)) / determinant),
      ).toBeCloseTo(1, 3);
  });
  test("five classes that hold feed are enough, four are not", () => {
    const only = (count: number) => {
      const whole = streams(0);
      return gradeEfficiency({
        ...whole,
        thrownBack: whole.thrownBack.map((t, i) => (i >= 6 && i < 6 + count ? t : null)),
      });
    };
    expect(only(5)).not.toBeNull();
    expect(only(4)).toBeNull();
  });
});

describe("streams made to agree", () => {
  const ends = { edgesUm: [1, 2, 4, 8], power: 0 };
  const fines = { ...ends, undersize: [0, 0.7, 0.95, 1] };
  const coarse = { ...ends, undersize: [0, 0.1, 0.4, 1] };
  const mixed = (nu: number) => ({
    ...ends,
    undersize: fines.undersize.map((q, i) => nu * q + (1 - nu) * (coarse.undersize[i] ?? 0)),
  });
  test("streams that agree come back as they were, with the yield they were mixed by", () => {
    const found = reconcile({ feed: mixed(0.3), fines, coarse, fineYield: null });
    expect(found?.fineYield).toBeCloseTo(0.3, 9);
    expect(found?.closureMaxPoints).toBeLessThan(1e-9);
    // Of the finest octave the feed holds 0.3 · 0.7 + 0.7 · 0.1 = 0.28, a quarter of it in the coarse stream.
    expect(found?.thrownBack[0]).toBeCloseTo(0.25, 6);
    for (const stream of [found?.feed, found?.fines, found?.coarse])
      expect(stream?.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
  });
  test("streams that do not agree are moved until they do, at the yield that was weighed", () => {
    const found = reconcile({ feed: mixed(0.3), fines, coarse, fineYield: 0.35 });
    expect(found?.fineYield).toBe(0.35);
    expect(found?.fineYieldOfCurves).toBeCloseTo(0.3, 9);
    expect(found?.closureMaxPoints ?? 0).toBeGreaterThan(0.05);
    for (const [i, f] of (found?.feed ?? []).entries())
      expect(f).toBeCloseTo(0.35 * (found?.fines[i] ?? 0) + 0.65 * (found?.coarse[i] ?? 0), 6);
  });
  test("fines and coarse that are one powder tell no yield", () => {
    expect(reconcile({ feed: fines, fines, coarse: fines, fineYield: null })).toBeNull();
  });
});

test("the sentence about streams says the figures of the fit, each with its error", () => {
  const shares = (of: (x: number) => number) => mids.map((x, i) => (feed[i] ?? 0) * of(x));
  const thrown = (x: number) => curve(x, 4, 0.6, 0.1);
  const asCurve = (list: readonly number[]) => {
    const sum = list.reduce((a, b) => a + b, 0);
    const undersize = [0];
    for (const v of list) undersize.push(Math.min(1, (undersize.at(-1) ?? 0) + v / sum));
    return { edgesUm, undersize, power: 0 };
  };
  const answer = streamsAnswer({
    feed: asCurve(feed),
    fines: asCurve(shares((x) => 1 - thrown(x))),
    coarse: asCurve(shares(thrown)),
    fineYield: null,
  });
  const { efficiency, reconciled } = answer;
  if (efficiency === null || reconciled === null) throw new Error("the streams part");
  const [ofCut, ofSharpness, ofBypass] = efficiency.standardErrors ?? [0, 0, 0];
  const { cutUm, sharpness, bypassShare } = efficiency;
  expect(answer.sentence).toContain(
    `cuts at ${figures(cutUm)} ± ${figures(ofCut * cutUm, 2)} µm with a sharpness of ${figures(sharpness)} ± ${figures(ofSharpness, 2)} and a bypass of ${figures(100 * bypassShare, 2)} ± ${figures(100 * ofBypass, 2)} %. The fine yield is ${figures(100 * reconciled.fineYield)} %`,
  );
  expect(cutUm).toBeCloseTo(4, 0);
  expect(answer.warnings).toEqual([]);
});
