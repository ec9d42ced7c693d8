import { describe, expect, test } from "vitest";
import { curveOf, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { airClassificationAnswer, blendAnswer } from "#model/answers/compare/blendAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { limitValue } from "#model/band/limits.ts";
import { bestBlend, blendOf, mixOf, roomOf } from "#model/compare/blend.ts";
import { airClassify } from "#model/mill/separation/airClassification.ts";
import { powder } from "../powder.ts";

const wideEdges = Array.from({ length: 161 }, (_, i) => 0.05 * 4000 ** (i / 160));
const powderOf = (medianUm: number, gsd = 1.5) => powder(medianUm, gsd, wideEdges);
const lot = (name: string, medianUm: number) => ({
  name,
  runs: [-0.005, 0, 0.005].map((part) => powderOf(medianUm * (1 + part))),
});
const bandFor = (low: number, high: number): Band => ({
  version: 1,
  name: "b",
  stage: "re-fired",
  densityGPerCm3: null,
  rule: "two-sided",
  rows: [{ limit: "d50Um", low, high }],
  envelope: null,
});

describe("a mix of lots", () => {
  test("shares of the mix are the weighted shares at every size", () => {
    const [a, b] = [curveOf(powderOf(2).distribution), curveOf(powderOf(5).distribution)];
    const mix = curveOf(mixOf([a, b], [0.3, 0.7]));
    for (const x of [1, 2.2, 3, 6])
      expect(undersizeAt(mix, x)).toBeCloseTo(0.3 * undersizeAt(a, x) + 0.7 * undersizeAt(b, x), 12);
  });
  test("of a fine and a coarse lot the mix that centres D50 is found, with its chance", () => {
    const answer = blendAnswer([lot("fine", 2.4), lot("coarse", 3.6)], bandFor(2.9, 3.1));
    const mix = answer.mix;
    if (mix === null) throw new Error("there is a mix");
    expect(sizeAt(curveOf(mix), 0.5)).toBeCloseTo(3, 1);
    expect(answer.isIn).toBe(true);
    expect(answer.chance).toBeGreaterThan(0.95);
    expect(answer.sentence).toMatch(
      /^A blend of \d+ % fine and \d+ % coarse would be in band \(.* chance of being in band/,
    );
    expect(answer.shares.reduce((s, l) => s + l.share, 0)).toBeCloseTo(1, 12);
  });
  test("a lot that only harms is left out", () => {
    const answer = blendAnswer([lot("good", 3), lot("bad", 9)], bandFor(2.9, 3.1));
    expect(answer.shares.map((s) => s.share)).toEqual([1, 0]);
    expect(answer.sentence).toMatch(/^good alone, without bad, would be in band/);
  });
  test("where no mix is in, it says so, what comes nearest and what stays out", () => {
    const answer = blendAnswer([lot("a", 4), lot("b", 6), lot("c", 5)], bandFor(2.9, 3.1));
    expect(answer.isIn).toBe(false);
    expect(answer.sentence).toMatch(
      /^No blend of these lots is in band\. a alone is nearest.*D50 would still be out/,
    );
  });
  test("four lots are quick and two runs give no chance, with the reason", () => {
    const two = { name: "two", runs: lot("two", 3).runs.slice(0, 2) };
    const { chance, problems } = blendAnswer([lot("a", 2), lot("b", 4), lot("c", 5), two], bandFor(2.9, 3.1));
    if (chance === null) expect(problems.some((p) => /fewer than three runs/.test(p.message))).toBe(true);
  });
});

describe("cutting off an end", () => {
  const [m] = [powderOf(3).distribution];
  test("an ideal cut at the median keeps half, all of it on one side", () => {
    const ideal = { kind: "ideal", cutUm: 3, sharpness: 1, bypassShare: 0, leakShare: 0 } as const;
    const { kept, yieldShare } = airClassify(m, "fines", ideal);
    expect(yieldShare).toBeCloseTo(0.5, 2);
    expect(kept === null ? 1 : undersizeAt(curveOf(kept), 2.8)).toBeLessThan(0.01);
  });
  test("what is kept and what is cut off make the whole again", () => {
    const cut = { kind: "log-logistic", cutUm: 2, sharpness: 0.6, bypassShare: 0, leakShare: 0 } as const;
    const [coarse, fine] = [airClassify(m, "fines", cut), airClassify(m, "coarse", cut)];
    expect(coarse.yieldShare + fine.yieldShare).toBeCloseTo(1, 12);
    if (coarse.kept === null || fine.kept === null) throw new Error("both have powder");
    const whole = mixOf([curveOf(coarse.kept), curveOf(fine.kept)], [coarse.yieldShare, fine.yieldShare]);
    for (const x of [1, 2, 4])
      expect(undersizeAt(curveOf(whole), x)).toBeCloseTo(undersizeAt(curveOf(m), x), 10);
  });
  test("nothing left is said so, and the answer tells the yield and the verdict", () => {
    const far = { kind: "ideal", cutUm: 1e5, sharpness: 1, bypassShare: 0, leakShare: 0 } as const;
    expect(airClassify(m, "fines", far).kept).toBeNull();
    const answer = airClassificationAnswer([powderOf(3)], {
      cut: "coarse",
      atUm: 4,
      band: bandFor(2.3, 2.9),
    });
    expect(answer.sentence).toMatch(
      /^Removing the powder coarser than 4\.00 µm .* leaves \d\d\.\d % of the lot\. The remaining powder would be in band\.$/,
    );
    expect(
      airClassificationAnswer([powderOf(3)], { cut: "coarse", atUm: 4, band: bandFor(8, 9) }).sentence,
    ).toMatch(/D50 would still be out/);
  });
});

test("what is left after a cut is out where its curve leaves the envelope, though its rows are in", () => {
  const envelope = { sizesUm: [1, 2, 4], lowShares: [0.1, 0.4, 0.9], highShares: [0.2, 0.45, 1] };
  const cut = { cut: "coarse", atUm: 8 } as const;
  const rows = airClassificationAnswer([powderOf(3)], { ...cut, band: bandFor(2, 4) });
  const both = airClassificationAnswer([powderOf(3)], { ...cut, band: { ...bandFor(2, 4), envelope } });
  expect([rows.isIn, both.isIn]).toEqual([true, false]);
  expect(both.sentence).toMatch(/The curve would still be out of band\.$/);
});

test("no chance where a limit is lost when a run is left out: its spread cannot be told", () => {
  const edges = [0.5, 1, 2, 3, 4, 6, 9];
  const run = (belowShare: number, shift: number) => ({
    file: null,
    name: "run",
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: [0.1, 0.2, 0.3 + shift, 0.2 - shift, 0.1, 0.1].map((v) => v * (1 - belowShare)),
      belowShare,
    }),
  });
  const runs = (name: string) => ({ name, runs: [run(0.08, 0.01), run(0.08, 0), run(0.13, -0.01)] });
  const band = { ...bandFor(0, 1), rows: [{ limit: "d10Um", low: 0.45, high: 0.6 }] };
  expect(blendAnswer([runs("a"), runs("b")], band).chance).toBeNull();
});

test("a lot that alone is as surely in as any mix is not mixed", () => {
  const answer = blendAnswer([lot("nearly centred", 3.01), lot("coarse", 3.6)], bandFor(2.7, 3.3));
  expect(answer.shares.map((s) => s.share)).toEqual([1, 0]);
});

test("a cut that puts a lot out that was in says so", () => {
  const { sentence } = airClassificationAnswer([powderOf(3)], {
    cut: "coarse",
    atUm: 3,
    band: bandFor(2.9, 3.1),
  });
  expect(sentence).toMatch(
    / The lot is in band as it is, but D50 of the remaining powder would be out of band\.$/,
  );
});

test("of two lots the best share is found to a hundredth", () => {
  const two = [lot("a", 2), lot("b", 4)];
  const known = curveOf(
    mixOf(
      two.map((l) => curveOf(powderOf(l.name === "a" ? 2 : 4).distribution)),
      [0.37, 0.63],
    ),
  );
  const sizesUm = [1.5, 2, 2.5, 3, 4, 5, 6];
  const at = (by: number) => sizesUm.map((x) => undersizeAt(known, x) + by);
  const envelope = { sizesUm, lowShares: at(-0.01), highShares: at(0.01) };
  const answer = blendAnswer(two, { ...bandFor(1, 9), envelope });
  // The runs of a lot lie evenly about its middle, but their mean is not quite the middle one.
  expect(answer.shares[0]?.share).toBeCloseTo(0.37, 2);
});

describe("the best mix of lots is found where it is known", () => {
  const lots = [lot("a", 1.5), lot("b", 2.2), lot("c", 3.4), lot("d", 5)];
  const mixes = [
    [0.2, 0.2, 0.2, 0.4],
    [0.6, 0.2, 0.1, 0.1],
    [0.2, 0.6, 0.1, 0.1],
    [0.25, 0.25, 0.25, 0.25],
    [0.3, 0.3, 0.4, 0],
  ];
  test.each(mixes)("shares %s, %s, %s, %s", (...shares) => {
    const used = lots.slice(0, shares[3] === 0 ? 3 : 4);
    const curves = used.map((l) => curveOf(l.runs[1]?.distribution ?? powderOf(1).distribution));
    const known = curveOf(mixOf(curves, shares.slice(0, used.length)));
    const sizesUm = [1, 1.5, 2, 2.5, 3, 4, 5, 6];
    const at = (by: number) => sizesUm.map((x) => undersizeAt(known, x) + by);
    const envelope = { sizesUm, lowShares: at(-0.02), highShares: at(0.02) };
    const answer = blendAnswer(used, { ...bandFor(1, 9), envelope });
    expect(answer.isIn).toBe(true);
    for (const [i, { share }] of answer.shares.entries())
      expect(Math.abs(share - (shares[i] ?? 0))).toBeLessThan(0.11);
  });
});

describe("many lots, and lots without a share", () => {
  const many = Array.from({ length: 12 }, (_, i) => lot(`lot ${i + 1}`, 1.5 * 1.12 ** i));
  const band: Band = {
    ...bandFor(2.9, 3.1),
    rows: [
      { limit: "d50Um", low: 2.9, high: 3.1 },
      { limit: "d90Um", low: null, high: 6 },
      { limit: "sauterUm", low: 2, high: 3.2 },
    ],
  };
  test("twelve lots: the mix holds every limit, and no random mix has more room", () => {
    const lots = many.map((l) => l.runs);
    const best = bestBlend(lots, band);
    expect(best?.room).toBeGreaterThan(0);
    expect(best?.weights.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
    expect(roomOf(best?.mix ?? powderOf(1).distribution, band)).toBeGreaterThan(0);
    for (let i = 0; i < 60; i++) {
      const shares = lots.map((_, k) => (Math.sin(9.7 * i + 5.3 * k) + 1) ** 4);
      const room = roomLn(blendOf(lots, shares, band).mix, band);
      expect(room).toBeLessThanOrEqual((best?.room ?? 0) + 1e-6);
    }
  });
  test("a lot without a share says which limit is in the way", () => {
    const answer = blendAnswer([lot("fine", 2.6), lot("coarse", 3.4), lot("lumpy", 30)], bandFor(2.9, 3.1));
    expect(answer.noShare.map((l) => l.name)).toContain("lumpy");
    expect(answer.noShare.find((l) => l.name === "lumpy")?.why).toMatch(
      /^A twentieth of lumpy would .*(D50|neither widen)/,
    );
  });
  test("a span is looked at afterwards", () => {
    const answer = blendAnswer([lot("a", 2.6), lot("b", 3.4)], {
      ...bandFor(2.9, 3.1),
      rows: [...bandFor(2.9, 3.1).rows, { limit: "span", low: null, high: 0.1 }],
    });
    expect(answer.shares.every((s) => s.share > 0)).toBe(true);
    expect(answer.rows.map((r) => r.isIn)).toEqual([true, false]);
  });
  test("shares given by hand are mixed as they are", () => {
    const lots = [lot("a", 2), lot("b", 4)].map((l) => l.runs);
    const { mix, room } = blendOf(lots, [1, 3], bandFor(2.9, 3.9));
    expect(undersizeAt(curveOf(mix), 3)).toBeCloseTo(
      lots.reduce(
        (sum, runs, i) =>
          sum +
          ((i === 0 ? 0.25 : 0.75) / runs.length) *
            runs.reduce((s, run) => s + undersizeAt(curveOf(run.distribution), 3), 0),
        0,
      ),
      12,
    );
    expect(room).not.toBeNull();
    expect(() => blendOf(lots, [1, -1], bandFor(2, 3))).toThrow(/shares must be 2/);
  });
});

/** Least distance to a limit in ln over its half-width, worked out without a programme. */
function roomLn(mix: SizeDistribution, { rows }: Band): number {
  return Math.min(
    ...rows.flatMap((row) => {
      const value = Math.log(limitValue(row, mix, { densityGPerCm3: null }) ?? Number.NaN);
      const [low, high] = [row.low, row.high].map((v) => (v === null ? null : Math.log(v)));
      const width = low != null && high != null ? (high - low) / 2 : 0.5;
      return [low == null ? 9 : (value - low) / width, high == null ? 9 : (high - value) / width];
    }),
  );
}
