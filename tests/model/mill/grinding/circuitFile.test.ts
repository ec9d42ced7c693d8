import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { circuitAnswer } from "#model/answers/mill/circuitAnswer.ts";
import { parseCircuit } from "#model/mill/grinding/circuitFile.ts";

const good = {
  feedEdgesUm: [1, 2, 4],
  feedShares: [0.4, 0.6],
  cutUm: 3,
  sharpness: 0.6,
  separation: "plitt",
  bypassShare: 0.1,
  leakShare: 0.05,
  rateAt1UmPerS: 0.02,
  rateExponent: 1.1,
  fragments: { kind: "austin", share: 0.3, exponentFine: 0.8, exponentCoarse: 3 },
  offerPerS: 2,
  grindingLimitUm: 0.2,
  classesPerOctave: 4,
};
const faults = (change: Record<string, unknown>) => {
  const { circuit, problems } = parseCircuit({ ...good, ...change }, "c.json");
  expect(circuit === null).toBe(problems.length > 0);
  return problems.map((p) => p.expected ?? "");
};

// The rules are those stated beside each number.
describe("a circuit as it is written down", () => {
  test("a good one comes back, its feed as an undersize curve", () => {
    expect(parseCircuit(good, null)).toEqual({
      circuit: {
        feed: { edgesUm: [1, 2, 4], undersize: [0, 0.4, 1], power: 0 },
        rate: { at1UmPerS: 0.02, exponent: 1.1, grindingLimitUm: 0.2 },
        fragments: good.fragments,
        separation: { kind: "plitt", cutUm: 3, sharpness: 0.6, bypassShare: 0.1, leakShare: 0.05 },
        offerPerS: 2,
        classesPerOctave: 4,
      },
      problems: [],
    });
  });
  test("bypass, leak, limit and classes may be left out", () => {
    const { bypassShare, leakShare, grindingLimitUm, classesPerOctave, ...bare } = good;
    expect([bypassShare, leakShare, grindingLimitUm, classesPerOctave]).toHaveLength(4);
    const { circuit } = parseCircuit(bare, null);
    expect(circuit).toMatchObject({
      classesPerOctave: 8,
      separation: { bypassShare: 0, leakShare: 0 },
      rate: { grindingLimitUm: 0 },
    });
  });
  test.each([
    ["cutUm", { cutUm: 0 }],
    ["cutUm", { cutUm: "3" }],
    ["cutUm", { cutUm: Number.POSITIVE_INFINITY }],
    ["sharpness", { sharpness: 0 }],
    ["sharpness", { sharpness: 1 }],
    ["sharpness", { separation: "whiten", sharpness: 1 / 9 }],
    ["bypassShare", { bypassShare: 1.1 }],
    ["leakShare", { leakShare: -0.1 }],
    ["rateAt1UmPerS", { rateAt1UmPerS: -1 }],
    ["rateExponent", { rateExponent: Number.NaN }],
    ["offerPerS", { offerPerS: 0 }],
    ["classesPerOctave", { classesPerOctave: 0.9 }],
    ["classesPerOctave", { classesPerOctave: 129 }],
    ["grindingLimitUm", { grindingLimitUm: -1 }],
    ["grindingLimitUm", { grindingLimitUm: "none" }],
    ["ideal, log-logistic", { separation: "sharp" }],
    ["feedEdgesUm", { feedEdgesUm: [1] }],
    ["feedEdgesUm", { feedEdgesUm: [0, 2, 4] }],
    ["feedEdgesUm", { feedEdgesUm: [1, 2, 2] }],
    ["feedEdgesUm", { feedEdgesUm: [1, "2", 4] }],
    ["feedEdgesUm", { feedEdgesUm: null }],
    ["feedShares", { feedShares: [1] }],
    ["feedShares", { feedShares: [0.4, 0.3, 0.3] }],
    ["feedShares", { feedShares: [1.1, -0.1] }],
    ["feedShares that sum to 1", { feedShares: [0.4, 0.593] }],
    ["feedShares that sum to 1", { feedShares: [0.4, 0.607] }],
    ["{ kind: ", { fragments: null }],
    ["{ kind: ", { fragments: { kind: "power", exponent: 0 } }],
    ["{ kind: ", { fragments: { kind: "power" } }],
    ["{ kind: ", { fragments: { kind: "broadbent-callcott", exponent: 0 } }],
    ["{ kind: ", { fragments: { ...good.fragments, kind: "other" } }],
    ["{ kind: ", { fragments: { ...good.fragments, share: 1.1 } }],
    ["{ kind: ", { fragments: { ...good.fragments, share: "some" } }],
    ["{ kind: ", { fragments: { ...good.fragments, exponentFine: 0 } }],
    ["{ kind: ", { fragments: { ...good.fragments, exponentCoarse: -1 } }],
  ])("%s is named for %j", (expected, change) => {
    const found = faults(change);
    expect(found).toHaveLength(1);
    expect(found[0]?.startsWith(expected)).toBe(true);
  });
  test("the ends of each range are taken", () => {
    for (const change of [
      { bypassShare: 1 },
      { leakShare: 1 },
      { rateAt1UmPerS: 0 },
      { classesPerOctave: 1 },
      { classesPerOctave: 128 },
      { grindingLimitUm: 0 },
      { cutUm: 0.5 },
      { offerPerS: 0.5 },
      { separation: "whiten", sharpness: 0.12 },
      { separation: "plitt", sharpness: 0.1 },
      { feedShares: [0, 1] },
      { feedEdgesUm: [1, 2], feedShares: [1] },
      { feedShares: [0.4, 0.595] },
      { feedShares: [0.4, 0.605] },
      { fragments: { kind: "power", exponent: 0.5 } },
      { fragments: { kind: "broadbent-callcott", exponent: 1.2 } },
      { fragments: { ...good.fragments, share: 0 } },
      { fragments: { ...good.fragments, share: 1 } },
    ])
      expect(faults(change)).toEqual([]);
  });
  test("a sum near 1 is divided out", () => {
    const { circuit } = parseCircuit({ ...good, feedShares: [0.398, 0.597] }, null);
    expect(circuit?.feed.undersize[1]).toBeCloseTo(0.4, 12);
    expect(circuit?.feed.undersize[2]).toBe(1);
  });
  test("a name it does not know, and what is no object", () => {
    expect(parseCircuit({ ...good, colour: "red" }, null).problems[0]?.found).toBe('"colour"');
    for (const bad of [null, [], 3, "circuit"]) expect(parseCircuit(bad, null).problems).toHaveLength(1);
  });
});

describe("what a circuit answers", () => {
  const demo: unknown = JSON.parse(
    readFileSync(new URL("../../../../distributions/samples/mill/circuit.json", import.meta.url), "utf8"),
  );
  const answer = (change: Record<string, unknown>) => {
    if (typeof demo !== "object") throw new Error("the demo circuit must read");
    const { circuit } = parseCircuit({ ...demo, ...change }, null);
    if (circuit === null) throw new Error("the demo circuit must read");
    return circuitAnswer(circuit);
  };
  test("the load is the breakage rate at the cut over the offer rate (definition)", () => {
    // 0.02 · 4.4¹ over 1 a second.
    expect(answer({}).load).toBeCloseTo(0.088, 12);
    expect(answer({ offerPerS: 0.5 }).load).toBeCloseTo(0.176, 12);
  });
  test("classes rise, percentiles rise, and with the remainder the shares make the whole", () => {
    const { edgesUm, shares, percentilesUm, recycle, meanResidenceS } = answer({});
    expect(edgesUm?.length).toBe((shares?.length ?? 0) + 1);
    expect(edgesUm?.every((x, i) => x > (edgesUm[i - 1] ?? 0))).toBe(true);
    const sum = shares?.reduce((a, b) => a + b, 0) ?? 0;
    expect(sum).toBeLessThanOrEqual(1 + 1e-12);
    expect(sum).toBeGreaterThan(0.999);
    const sizes = [5, 10, 25, 50, 75, 90, 97].map((p) => percentilesUm?.[String(p)] ?? 0);
    expect([...sizes].sort((a, b) => a - b)).toEqual(sizes);
    // Offered is what is held times the offer rate; one part of it leaves, the rest is thrown back.
    expect(recycle ?? 0).toBeCloseTo((meanResidenceS ?? 0) * 1 - 1, 6);
  });
  test("over-grinding is said above a load of 2, a stuck size by its size", () => {
    expect(answer({ rateAt1UmPerS: 0.46 }).sentence).toMatch(/over-grinds: .* 2\.02 times as fast/);
    expect(answer({ rateAt1UmPerS: 0.45 }).sentence).not.toMatch(/over-grinds/);
    const stuck = answer({ rateAt1UmPerS: 0, separation: "ideal" });
    expect(stuck.stuckAtUm).not.toBeNull();
    expect(stuck.sentence).toMatch(/^There is no steady state/);
    expect(stuck.shares).toBeNull();
  });
});
