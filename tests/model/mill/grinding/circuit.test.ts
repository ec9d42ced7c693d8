import { describe, expect, test } from "vitest";
import { type Curve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { advance, propagatorOf } from "#model/mill/grinding/batch.ts";
import { type Circuit, solveCircuit } from "#model/mill/grinding/circuit.ts";
import { feedByClass } from "#model/mill/grinding/feed.ts";
import { fallingGrid, type Kernel, kernelOf } from "#model/mill/grinding/kernel.ts";
import { passingByClass, steadyState } from "#model/mill/grinding/steady.ts";
import { passing, type Separation, separationKinds } from "#model/mill/separation/separation.ts";
import { type IdealWheel, idealSize, idealUndersize } from "../../../validate/idealWheel.ts";

const coarse: Curve = { edgesUm: [90, 110], undersize: [0, 1], power: 0 };
const wide: Curve = {
  edgesUm: [0.5, 2, 5, 12, 30, 80],
  undersize: [0, 0.05, 0.2, 0.55, 0.9, 1],
  power: 0,
};
const wheel = (kind: Separation["kind"], cutUm = 4): Separation => ({
  kind,
  cutUm,
  sharpness: 0.6,
  bypassShare: 0,
  leakShare: 0,
});

function circuit({ cutUm, load, rateExponent, fragmentExponent }: IdealWheel, classesPerOctave = 8): Circuit {
  return {
    feed: coarse,
    rate: { at1UmPerS: load * cutUm ** -rateExponent, exponent: rateExponent, grindingLimitUm: 0 },
    fragments: { kind: "power", exponent: fragmentExponent },
    separation: wheel("ideal", cutUm),
    offerPerS: 1,
    classesPerOctave,
  };
}

function solved(of: Circuit) {
  const result = solveCircuit(of);
  if (result.stuckAtUm !== null) throw new Error(`stuck at ${result.stuckAtUm} µm`);
  return result;
}

describe("an ideal wheel against its closed form (docs/science.md)", () => {
  test.each([0.01, 0.5, 5, 50])("rate and fragment exponents agree, U %f: every edge to 1e-12", (load) => {
    const of = { cutUm: 4, load, rateExponent: 1.1, fragmentExponent: 1.1 };
    const { productCurve } = solved(circuit(of));
    for (const [i, x] of productCurve.edgesUm.entries()) {
      if (x > 4) continue;
      expect(Math.abs((productCurve.undersize[i] ?? 0) - idealUndersize(of, x))).toBeLessThan(1e-12);
    }
  });
  test.each([
    [1, 1.6],
    [1.5, 0.8],
    [0.7, 2],
  ])(
    "rate %f, fragments %f: the error at edges falls to a quarter when classes are halved",
    (rate, fragments) => {
      const of = { cutUm: 4, load: 2, rateExponent: rate, fragmentExponent: fragments };
      const worst = (perOctave: number) => {
        const { productCurve } = solved(circuit(of, perOctave));
        return Math.max(
          ...productCurve.edgesUm.map((x, i) =>
            x > 4 ? 0 : Math.abs((productCurve.undersize[i] ?? 0) - idealUndersize(of, x)),
          ),
        );
      };
      const orders = [4, 8, 16].map((n) => Math.log2(worst(n) / worst(2 * n)));
      for (const order of orders) expect(order).toBeGreaterThan(1.9);
    },
  );
  test("percentiles too, for a feed of one class", () => {
    const of = { cutUm: 3, load: 1, rateExponent: 1, fragmentExponent: 1.4 };
    const { productCurve } = solved(circuit(of, 16));
    for (const q of [0.1, 0.5, 0.9]) expect(sizeAt(productCurve, q)).toBeCloseTo(idealSize(of, q), 2);
  });
});

/**
 * What an empty zone holds after a long time of constant feed, by Taylor's series of dw/dt = feed + A·w, step after step:
 * w(t + h) = w + h·(w′ + h/2·(A·w′ + h/3·(A²·w′ + …))), to the last digit at every step. The wheel is offered 1/s.
 */
function longTransient(kernel: Kernel, feed: Float64Array, passes: Float64Array): Float64Array {
  const flowOf = (w: Float64Array) =>
    w.map((held, i) => {
      let sum = -((kernel.losing[i] ?? 0) + (passes[i] ?? 0)) * held;
      const row = kernel.landing[i] ?? passes;
      for (let j = 0; j < row.length; j++) sum += (row[j] ?? 0) * (w[j] ?? 0);
      return sum;
    });
  const leaving = [...passes].map((p, i) => p + (kernel.losing[i] ?? 0));
  const stepS = 0.5 / Math.max(...leaving);
  const slow = Math.min(...leaving);
  let held = new Float64Array(feed.length);
  // What a class that is left at rate r still lacks after t is exp(−r·t) and a power of t: 50/r leaves nothing.
  for (let t = 0; t * slow < 50; t += stepS) {
    let term = flowOf(held).map((v, i) => (v + (feed[i] ?? 0)) * stepS);
    const next = held.map((v, i) => v + (term[i] ?? 0));
    for (let k = 2; k <= 14; k++) {
      term = flowOf(term).map((v) => (v * stepS) / k);
      for (const [i, v] of term.entries()) next[i] = (next[i] ?? 0) + v;
    }
    held = next;
  }
  return held;
}

describe("the balance", () => {
  test.each(separationKinds)("%s: product and remainder sum to 1 within 1e-14", (kind) => {
    for (const feed of [coarse, wide]) {
      for (const load of [0.001, 0.3, 50]) {
        for (const [bypassShare, leakShare, perOctave] of [
          [0.1, 0.002, 8],
          [0.99, 0, 8],
          [0, 0, 32],
        ] as const) {
          const { product, feedShares } = solved({
            ...circuit({ cutUm: 4, load, rateExponent: 1, fragmentExponent: 1.4 }, perOctave),
            feed,
            separation: { ...wheel(kind), bypassShare, leakShare },
          });
          expect(Math.abs(product.reduce((a, b) => a + b, 0) - 1)).toBeLessThan(1e-14);
          expect(Math.abs(feedShares.reduce((a, b) => a + b, 0) - 1)).toBeLessThan(1e-14);
        }
      }
    }
  });
  test("what a class loses is what finer ones receive, to 1e-14 of it", () => {
    const kernel = kernelOf(
      fallingGrid(100, 2 ** (1 / 8), 120),
      { at1UmPerS: 0.1, exponent: 1.2, grindingLimitUm: 0.3 },
      { kind: "austin", share: 0.4, exponentFine: 0.8, exponentCoarse: 4 },
    );
    for (const [j, rate] of kernel.losing.entries()) {
      const received = kernel.landing.reduce((sum, row) => sum + (row[j] ?? 0), 0);
      expect(Math.abs(received - rate)).toBeLessThanOrEqual(1e-14 * rate);
    }
  });
  test.each([
    ["log-logistic", 4, 60, { kind: "power", exponent: 1.4 }],
    ["plitt", 6, 80, { kind: "austin", share: 0.4, exponentFine: 0.8, exponentCoarse: 4 }],
    ["ideal", 4, 60, { kind: "broadbent-callcott", exponent: 1 }],
  ] as const)(
    "%s: the steady state is where a long transient ends, to 1e-12",
    (kind, perOctave, classes, of) => {
      const grid = fallingGrid(100, 2 ** (1 / perOctave), classes);
      const kernel = kernelOf(grid, { at1UmPerS: 0.1, exponent: 1, grindingLimitUm: 0 }, of);
      const passes = passingByClass(grid, { ...wheel(kind), bypassShare: 0.1 });
      const feed = feedByClass(wide, grid);
      const steady = steadyState(kernel, feed, 1, passes);
      if ("stuckClass" in steady) throw new Error("stuck");
      const held = longTransient(kernel, feed, passes);
      for (const [i, w] of steady.holdUpS.entries())
        expect(Math.abs((held[i] ?? 0) - w)).toBeLessThanOrEqual(1e-12 * w);
      const recycle = held.reduce((sum, w, i) => sum + w * (1 - (passes[i] ?? 0)), 0);
      expect(Math.abs(recycle / steady.recycle - 1)).toBeLessThan(1e-12);
    },
  );
  test.each([
    { kind: "power", exponent: 1.4 },
    { kind: "austin", share: 0.4, exponentFine: 0.8, exponentCoarse: 4 },
  ] as const)("%j: carried from class to class it is the sum over all coarser ones, to 1e-12", (of) => {
    const grid = fallingGrid(100, 2 ** (1 / 8), 130);
    const kernel = kernelOf(grid, { at1UmPerS: 0.3, exponent: 1.1, grindingLimitUm: 0.2 }, of);
    const feed = feedByClass(wide, grid);
    const passes = passingByClass(grid, { ...wheel("log-logistic"), bypassShare: 0.1 });
    const { losing, landing } = kernel;
    const [quick, whole] = [kernel, { grid, losing, landing }].map((k) => steadyState(k, feed, 1, passes));
    if (quick === undefined || whole === undefined || "stuckClass" in quick || "stuckClass" in whole)
      throw new Error("stuck");
    for (const [i, held] of whole.holdUpS.entries())
      expect(Math.abs((quick.holdUpS[i] ?? 0) - held)).toBeLessThanOrEqual(1e-12 * held);
  });
  test("a feed keeps its mass on other classes, and its undersize at their edges", () => {
    const grid = fallingGrid(96, 2 ** (1 / 8), 90);
    const shares = feedByClass(wide, grid);
    expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 14);
    const below = shares.slice(40).reduce((a, b) => a + b, 0);
    expect(below).toBeCloseTo(undersizeAt(wide, grid.edgesUm[40] ?? 0), 14);
  });
});

describe("a batch", () => {
  test.each([
    [2, 12],
    [2 ** (1 / 8), 90],
    [1.37, 40],
  ])("fragments that follow the rate: R0·exp(−k·x^α·t) at any grid (ratio %f), to 1e-9", (ratio, classes) => {
    const alpha = 1.2;
    const grid = fallingGrid(60, ratio, classes);
    const kernel = kernelOf(
      grid,
      { at1UmPerS: 1, exponent: alpha, grindingLimitUm: 0 },
      { kind: "power", exponent: alpha },
    );
    const start = feedByClass(wide, grid);
    const after = advance(propagatorOf(kernel, 0.7), start);
    let before = 0;
    let above = 0;
    for (let i = 0; i < classes; i++) {
      before += start[i] ?? 0;
      above += after[i] ?? 0;
      const exact = before * Math.exp(-0.7 * (grid.edgesUm[i + 1] ?? 0) ** alpha);
      expect(Math.abs(above - exact)).toBeLessThan(1e-9);
    }
    expect(Math.abs(after.reduce((a, b) => a + b, 0) - 1)).toBeLessThan(1e-14);
  });
});

describe("what cannot be solved is named, not thrown", () => {
  test("a size that can neither break nor leave is returned with its size", () => {
    const nothingBreaks = {
      ...circuit({ cutUm: 4, load: 1, rateExponent: 1, fragmentExponent: 1 }),
      rate: { at1UmPerS: 0, exponent: 1, grindingLimitUm: 0 },
    };
    expect(solveCircuit(nothingBreaks).stuckAtUm).toBeGreaterThan(90);
    const limited = { ...nothingBreaks, rate: { at1UmPerS: 1, exponent: 1, grindingLimitUm: 10 } };
    const stuck = solveCircuit(limited).stuckAtUm ?? 0;
    expect(stuck).toBeGreaterThan(4);
    expect(stuck).toBeLessThan(11);
  });
  test.each([
    ["a sharpness of 1", { ...wheel("plitt"), sharpness: 1 }],
    ["a bypass above 1", { ...wheel("plitt"), bypassShare: 1.1 }],
    ["whiten at 0.1", { ...wheel("whiten"), sharpness: 0.1 }],
  ])("%s breaks a rule", (_, separation) => {
    expect(() => passing(separation)(3)).toThrow(/must/);
  });
});

test("a sweep of 200 speeds with whole curves on one kernel stays under a frame of 16 ms", () => {
  const grid = fallingGrid(100, 2 ** (1 / 8), 130);
  const kernel = kernelOf(
    grid,
    { at1UmPerS: 0.1, exponent: 1, grindingLimitUm: 0 },
    { kind: "power", exponent: 1.4 },
  );
  const feed = feedByClass(wide, grid);
  const sweep = () => {
    for (let i = 0; i < 200; i++)
      steadyState(kernel, feed, 1, passingByClass(grid, wheel("log-logistic", 2 + i / 50)));
  };
  // Time of the processor, the best of several: other work on the machine does not count. The tests' loader makes each
  // call between files dearer, so twice a frame here is half a frame once built.
  const taken = Array.from({ length: 12 }, () => {
    const begun = process.cpuUsage();
    sweep();
    const { user, system } = process.cpuUsage(begun);
    return (user + system) / 1000;
  });
  expect(Math.min(...taken)).toBeLessThan(32);
});

test("after no time at all nothing is broken", () => {
  const grid = fallingGrid(16, 2, 4);
  const kernel = kernelOf(
    grid,
    { at1UmPerS: 0.1, exponent: 1, grindingLimitUm: 0 },
    { kind: "power", exponent: 1 },
  );
  const start = Float64Array.from(kernel.losing, (_, i) => (i === 0 ? 1 : 0));
  expect([...advance(propagatorOf(kernel, 0), start)].slice(0, 3)).toEqual([1, 0, 0]);
});
