import { describe, expect, test } from "vitest";
import { normalForm } from "#distributions/families/normalForm.ts";
import { releaseAnswer } from "#model/answers/lot/releaseAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { tCdf } from "#model/numbers/studentT.ts";
import { chanceFromRuns, conformance } from "#model/release/chanceFromRuns.ts";
import { drawsOf } from "#model/release/draws.ts";
import { judgedScale, limitsOnScale, onScale } from "#model/release/judgedScale.ts";
import { releaseFigures } from "#model/release/release.ts";
import { mostReleasedThoughOut, riskOfRule } from "#model/release/risks.ts";
import { lotMean, pooledScatter } from "#model/release/scatter.ts";
import { powder } from "../powder.ts";

const identity = (n: number, rho = 0) =>
  Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => (i === j ? 1 : rho)));
const within = (n: number, reach: number) => Array.from({ length: n }, () => ({ low: -reach, high: reach }));
const zeros = (n: number) => new Array<number>(n).fill(0);

describe("figures from draws", () => {
  test.each([1, 3, 7])("%i independent normal rows: the product (closed form)", (n) => {
    const { rows, all } = conformance(zeros(n), identity(n), within(n, 2), drawsOf(n, null));
    const one = 2 * normalForm.undersize(2) - 1;
    for (const p of rows) expect(Math.abs(p - one)).toBeLessThan(0.004);
    expect(Math.abs(all - one ** n)).toBeLessThan(0.004);
  });
  test.each([10, 20, 60])("a row is Student's t of %i degrees", (degrees) => {
    const { rows } = conformance([0.4, 0], identity(2, 0.8), within(2, 1.5), drawsOf(2, degrees));
    expect(Math.abs((rows[0] ?? 0) - (tCdf(1.1, degrees) - tCdf(-1.9, degrees)))).toBeLessThan(0.004);
  });
  test("orthants: 1/4 + asin ρ/2π (Sheppard)", () => {
    const above = [
      { low: 0, high: null },
      { low: 0, high: null },
    ];
    for (const rho of [-0.7, 0.5, 0.9]) {
      const { all } = conformance([0, 0], identity(2, rho), above, drawsOf(2, 12));
      expect(Math.abs(all - (0.25 + Math.asin(rho) / (2 * Math.PI)))).toBeLessThan(0.004);
    }
  });
  test("all rows are never surer than any row", () => {
    for (let shift = -2; shift <= 2; shift += 0.37) {
      const { rows, all } = conformance([shift, 0, -shift], identity(3, 0.6), within(3, 1.2), drawsOf(3, 10));
      expect(all).toBeLessThanOrEqual(Math.min(...rows));
    }
  });
  test("under ten degrees: rows by Student's t, all by 1 − Σ(1 − p), at least", () => {
    const lot = { mean: [0, 0.5], covariance: identity(2), degrees: 4, of: "portion measured" } as const;
    const { rows, all, isAtLeast } = chanceFromRuns(lot, within(2, 3));
    expect(rows[0]).toBeCloseTo(tCdf(3, 4) - tCdf(-3, 4), 12);
    expect(rows[1]).toBeCloseTo(tCdf(2.5, 4) - tCdf(-3.5, 4), 12);
    expect(all).toBeCloseTo(1 - rows.reduce((sum, p) => sum + 1 - p, 0), 12);
    expect(isAtLeast).toBe(true);
  });
});

describe("the ground's scatter", () => {
  test("runs pooled within portions: Σ squares over Σ (runs − 1), worked by hand", () => {
    const ground = pooledScatter([[[[1], [3]]], [[[10], [13], [16]]]]);
    expect(ground?.runDegrees).toBe(3);
    expect(ground?.run[0]?.[0]).toBeCloseTo(20 / 3, 12);
    expect(ground?.portion).toBeNull();
  });
  test("portions of equal runs: their means' own variance, whose degrees are Σ (portions − 1)", () => {
    // Means 2 and 6 about 4, 5 and 5 about 5: 8 over 2 degrees, of the mean of one portion; of two, half.
    const lots = [
      [
        [[1], [3]],
        [[5], [7]],
      ],
      [
        [[4], [6]],
        [[5], [5]],
      ],
    ];
    const ground = pooledScatter(lots);
    if (ground === null) throw new Error("a ground");
    const lot = lotMean(
      [
        [[1], [3]],
        [[5], [7]],
      ],
      ground,
    );
    expect(lot).toEqual({ mean: [4], covariance: [[2]], degrees: 2, of: "lot" });
  });
  test("an entered sampling SD is added, and lends its degrees (Welch–Satterthwaite, JCGM 100 G.4)", () => {
    const ground = pooledScatter([[[[1], [3]]]], [2]);
    if (ground === null) throw new Error("a ground");
    // Runs: variance 2 over 2 runs is 1; sampling 4: u² = 5, degrees 1 · (5/1)².
    expect(lotMean([[[1], [3]]], ground)).toEqual({ mean: [2], covariance: [[5]], degrees: 25, of: "lot" });
  });
  test("nothing without a portion of two runs", () => {
    expect(pooledScatter([[[[1]]], [[[2]]]])).toBeNull();
    expect(releaseFigures({ lot: [[[1]]], kept: [], limits: within(1, 2) })).toBeNull();
  });
});

describe("the process", () => {
  const kept = (count: number, middle = 0) =>
    Array.from({ length: count }, (_, i) => {
      const at = middle + Math.sin(7 * i);
      return [[[at - 0.1], [at + 0.1]]];
    });
  const asked = { limits: within(1, 3) };
  test("eight kept lots are needed, and three a row", () => {
    const few = releaseFigures({ lot: [[[0], [0.2]]], kept: kept(7), ...asked });
    expect(few?.whyNoProcess).toEqual({ why: "few lots", lots: 7, needed: 8 });
    const enough = releaseFigures({ lot: [[[0], [0.2]]], kept: kept(12), ...asked });
    expect(enough?.whyNoProcess).toBeNull();
    expect(enough?.asProcess?.all).toBeGreaterThan(0.99);
  });
  test("a lot far from the process contradicts it", () => {
    const far = releaseFigures({ lot: [[[6], [6.2]]], kept: kept(12), ...asked });
    expect(far?.whyNoProcess).toEqual({ why: "contradicted", by: "this lot" });
  });
  test("four lots that moved contradict it", () => {
    const moved = [...kept(30), ...kept(4, 2.5)];
    const late = releaseFigures({ lot: [[[0], [0.2]]], kept: moved, ...asked });
    expect(late?.whyNoProcess).toEqual({ why: "contradicted", by: "the last four lots" });
  });
});

describe("risks of a rule", () => {
  test("the guarded rule's worst case is the t tail (3.7 % at 10 degrees, 2.6 % at 40, MODEL)", () => {
    expect(mostReleasedThoughOut(10)).toBeCloseTo(0.037, 3);
    expect(mostReleasedThoughOut(40)).toBeCloseTo(0.026, 3);
  });
  test("without error of measuring nothing is released though out, nor held though good", () => {
    const process = { mean: [0.5], ofLots: [[1]] };
    for (const rule of ["simple", "guarded", "two-sided"] as const) {
      const risk = riskOfRule(rule, process, [[0]], within(1, 1));
      expect(risk.releasedThoughOut).toBe(0);
      expect(risk.heldThoughGood).toBe(0);
      expect(risk.conforming).toBeCloseTo(normalForm.undersize(0.5) - normalForm.undersize(-1.5), 2);
    }
  });
  test("one-sided, mean on the limit, errors as wide as lots: a quarter less asin(√½)/2π each way (Sheppard)", () => {
    // Truth and value correlate by √½: P(value in, truth out) = 1/4 − asin(√½)/2π = 1/8.
    const risk = riskOfRule("simple", { mean: [0], ofLots: [[1]] }, [[1]], [{ low: null, high: 0 }]);
    expect(Math.abs(risk.releasedThoughOut - 1 / 8)).toBeLessThan(0.004);
    expect(Math.abs(risk.heldThoughGood - 1 / 8)).toBeLessThan(0.004);
  });
  test("a guard releases less though out and holds more though good", () => {
    const process = { mean: [0, 0], ofLots: identity(2, 0.5) };
    const error = [
      [0.1, 0.05],
      [0.05, 0.1],
    ];
    const [simple, guarded, split] = (["simple", "guarded", "two-sided"] as const).map((rule) =>
      riskOfRule(rule, process, error, within(2, 1.5)),
    );
    expect(guarded?.releasedThoughOut).toBeLessThan(simple?.releasedThoughOut ?? 0);
    expect(guarded?.heldThoughGood).toBeGreaterThan(simple?.heldThoughGood ?? 1);
    expect(split?.releasedThoughOut).toBe(guarded?.releasedThoughOut);
    expect(split?.heldThoughGood).toBeLessThan(simple?.heldThoughGood ?? 0);
    expect(split?.released).toBe(split?.releasedShare);
    expect((split?.releasedShare ?? 0) + (split?.undecided ?? 0)).toBeLessThanOrEqual(1);
  });
});

test("sizes are judged on ln, shares on logit, classes not at all", () => {
  expect(judgedScale({ limit: "d50Um" })).toBe("ln");
  expect(judgedScale({ limit: "belowShare" })).toBe("logit");
  expect(judgedScale({ limit: "largestClassUm" })).toBeNull();
  expect(onScale(0, "logit")).toBeNull();
  expect(onScale(0.5, "logit")).toBe(0);
  expect(limitsOnScale({ low: 0, high: 1 }, "logit")).toEqual({ low: null, high: null });
});

describe("the answer", () => {
  const band = (more: Partial<Band> = {}): Band => ({
    version: 1,
    name: "b",
    stage: "milled",
    densityGPerCm3: null,
    rule: "guarded",
    rows: [
      { limit: "d50Um", low: 2.8, high: 3.2 },
      { limit: "largestClassUm", low: null, high: 40 },
    ],
    envelope: null,
    ...more,
  });
  const lot = (middle: number) => [0.991, 1.004, 1.01].map((f) => powder(middle * f));
  test("copies are no runs: three copies and no kept lot have no figure at all", () => {
    const one = powder(3);
    expect(releaseAnswer([one, one, one], band())).toBeNull();
  });
  test("runs alone: the portion measured, at least only where several rows stand together, what is left out", () => {
    const answer = releaseAnswer(lot(3), band());
    expect(answer?.of).toBe("portion measured");
    expect(answer?.judged).toEqual(["d50Um"]);
    expect(answer?.sentence).toMatch(
      /^From these runs alone, the chance of being in band is .* % for the powder measured\. Other lots can be counted in once eight have values for these limits; none has\.$/,
    );
    expect(answer?.notes[0]).toBe("Not in this chance: the largest class, which moves by whole classes.");
  });
  test("an entered sampling SD makes it the lot", () => {
    const kept = Array.from({ length: 9 }, (_, i) => lot(3 + 0.02 * Math.sin(i)));
    const answer = releaseAnswer(lot(3), band(), { kept, samplingCv: 0.01 });
    expect(answer?.of).toBe("lot");
    expect(answer?.asProcess).not.toBeNull();
    expect(answer?.sentence).toMatch(
      /^From this lot's runs and the scatter pooled with nine other lots, .* for the whole lot; if it was made like the nine other lots, it is /,
    );
    expect(answer?.notes.at(-1)).toMatch(/^Whatever the process, a guard of twice the standard error/);
  });
  test("two portions of some lots make it the lot too; no chance of all is above that of a row", () => {
    const portioned = (um: number) =>
      ["a", "b"].flatMap((portion, i) => lot(um * (1 + 0.01 * i)).map((run) => ({ ...run, portion })));
    const kept = Array.from({ length: 10 }, (_, i) => portioned(3 + 0.02 * Math.sin(i)));
    const rows = ["d10Um", "d50Um", "d90Um"].map((limit) => ({ limit, low: null, high: 1e3 }));
    const tight = rows.map((row) => ({ ...row, high: row.limit === "d50Um" ? 3.02 : 1e3 }));
    const answer = releaseAnswer(lot(3), band({ rows: tight }), { kept });
    expect(answer?.of).toBe("lot");
    expect(answer?.fromRuns.all).toBeLessThanOrEqual(Math.min(...(answer?.fromRuns.rows ?? [])));
  });
});
