import { describe, expect, test } from "vitest";
import { type Curve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { advance, propagatorOf } from "#model/mill/grinding/batch.ts";
import { type Circuit, solveCircuit } from "#model/mill/grinding/circuit.ts";
import { feedByClass } from "#model/mill/grinding/feed.ts";
import { fallingGrid, type Kernel, kernelOf } from "#model/mill/grinding/kernel.ts";
import { passing, type Separation, separationKinds } from "#model/mill/grinding/separation.ts";
import { passingByClass, steadyState } from "#model/mill/grinding/steady.ts";
import { type IdealWheel, idealSize, idealUndersize } from "../../validate/idealWheel.ts";

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

describe("the balance", () => {
  test.each(separationKinds)("%s: product and remainder sum to 1 within 1e-14", (kind) => {
    for (const feed of [coarse, wide]) {
      const { product, feedShares } = solved({
        ...circuit({ cutUm: 4, load: 0.3, rateExponent: 1, fragmentExponent: 1.4 }),
        feed,
        separation: { ...wheel(kind), bypassShare: 0.1, leakShare: 0.002 },
      });
      expect(Math.abs(product.reduce((a, b) => a + b, 0) - 1)).toBeLessThan(1e-13);
      expect(Math.abs(feedShares.reduce((a, b) => a + b, 0) - 1)).toBeLessThan(1e-14);
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
  test("the steady state is where a long transient ends, to 1e-12", () => {
    const grid = fallingGrid(100, 2 ** (1 / 4), 60);
    const kernel = kernelOf(
      grid,
      { at1UmPerS: 0.1, exponent: 1, grindingLimitUm: 0 },
      { kind: "power", exponent: 1.4 },
    );
    const passes = passingByClass(grid, wheel("log-logistic"));
    const feed = feedByClass(wide, grid);
    const steady = steadyState(kernel, feed, 1, passes);
    if ("stuckClass" in steady) throw new Error("stuck");
    // Every unit of a class, followed until it has left: the time spent in class i is the hold-up it builds there.
    const leaving: Kernel = {
      grid,
      losing: Float64Array.from({ length: 61 }, (_, i) => (kernel.losing[i] ?? 0) + (passes[i] ?? 0)),
      landing: [...kernel.landing, Float64Array.from({ length: 61 }, (_, i) => passes[i] ?? 0)],
    };
    const step = 2;
    const each = propagatorOf(leaving, step);
    // Held after many steps of constant feed: w ← P·w + ∫ exp(A·s)·feed ds, the integral by Simpson on fine pieces of it.
    const pieces = 64;
    const fine = propagatorOf(leaving, step / pieces);
    let moving = Float64Array.from([...feed, 0]);
    const gained = new Float64Array(62);
    for (let k = 0; k <= pieces; k++) {
      const weight = (k === 0 || k === pieces ? 1 : k % 2 === 1 ? 4 : 2) * (step / pieces / 3);
      for (const [i, v] of moving.entries()) gained[i] = (gained[i] ?? 0) + weight * v;
      moving = Float64Array.from(advance(fine, moving));
    }
    let held = new Float64Array(62);
    for (let k = 0; k < 300; k++)
      held = advance(each, held).map((v, i) => v + (i < 61 ? (gained[i] ?? 0) : 0));
    const finest = [20, 30, 40, 50, 60];
    for (const i of finest)
      expect(Math.abs((held[i] ?? 0) / (steady.holdUpS[i] ?? 1) - 1)).toBeLessThan(1e-6);
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
