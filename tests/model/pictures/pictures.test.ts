import { describe, expect, test } from "vitest";
import { curveOf } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { evenSteps, geometricSteps } from "#model/numbers/evenSteps.ts";
import { limitStrip } from "#model/pictures/limitStrip.ts";
import { netHeight, netOf, netTicks } from "#model/pictures/nets.ts";
import { envelopeValues, overlayRangeUm, overlaySizesUm, overlayValues } from "#model/pictures/overlay.ts";
import { decadeTicks, plainDecimal } from "#model/pictures/scale.ts";

// Every expected value in this file is worked by hand unless it says identity.
describe("a limit row as a strip", () => {
  test("the allowed stretch takes the middle half, and all is placed in per cent of the strip", () => {
    // From 2 − 1 to 4 + 1: five per cent to 0.2.
    expect(limitStrip({ low: 2, high: 4, value: 3.5, interval: { low: 2.5, high: 4.5 } })).toEqual({
      allowedFrom: 25,
      allowedTo: 75,
      intervalFrom: 37.5,
      intervalTo: 87.5,
      value: 62.5,
      isBeyond: false,
    });
  });
  test("without a low limit the stretch runs from the start", () => {
    // Reach max(|4 − 2|, 0.25 · 4) = 2: the strip runs from −2 to 6.
    expect(limitStrip({ low: null, high: 4, value: 2, interval: null })).toEqual({
      allowedFrom: 0,
      allowedTo: 75,
      intervalFrom: null,
      intervalTo: null,
      value: 50,
      isBeyond: false,
    });
  });
  test("without a high limit the stretch runs to the end", () => {
    // Reach max(|4 − 3.5|, 0.25 · 4) = 1: the strip runs from 3 to 7.
    expect(limitStrip({ low: 4, high: null, value: 3.5, interval: null })).toEqual({
      allowedFrom: 25,
      allowedTo: 100,
      intervalFrom: null,
      intervalTo: null,
      value: 12.5,
      isBeyond: false,
    });
  });
  test("what lies beyond the strip stands at its end", () => {
    const strip = limitStrip({ low: 2, high: 4, value: 9, interval: { low: -3, high: 10 } });
    expect([strip?.value, strip?.intervalFrom, strip?.intervalTo]).toEqual([100, 0, 100]);
    expect(strip?.isBeyond).toBe(true);
    // The strip ends half the allowed stretch beyond it: at 1 and 5.
    for (const [value, isBeyond] of [
      [0.99, true],
      [1, false],
      [5, false],
      [5.01, true],
    ] as const)
      expect(limitStrip({ low: 2, high: 4, value, interval: null })).toMatchObject({ isBeyond });
  });
  test("two limits that are one leave a point in the middle", () => {
    expect(limitStrip({ low: 3, high: 3, value: 3, interval: null })).toMatchObject({
      allowedFrom: 50,
      allowedTo: 50,
      value: 50,
    });
  });
  test("no value, or no limit, has no strip", () => {
    expect(limitStrip({ low: 2, high: 4, value: null, interval: null })).toBeNull();
    expect(limitStrip({ low: null, high: null, value: 3, interval: null })).toBeNull();
  });
});

const edges = [1, 2, 4, 8];
const powder = sizeDistribution({
  quantity: "volume",
  lowerUm: edges.slice(0, -1),
  upperUm: edges.slice(1),
  shares: [0.25, 0.5, 0.25],
});

describe("the overlay", () => {
  const curve = curveOf(powder);
  test("its range runs from the finest 0.2 % to the coarsest 0.2 % of all curves, opened by 1.3", () => {
    // 0.002 of the whole is 0.008 of the first class, which is one octave: 2^0.008; the same from above.
    const [from, to] = overlayRangeUm([curve]);
    expect(from).toBeCloseTo(2 ** 0.008 / 1.3, 12);
    expect(to).toBeCloseTo((8 / 2 ** 0.008) * 1.3, 12);
    const [wideFrom, wideTo] = overlayRangeUm([
      curve,
      { ...curve, edgesUm: edges.map((x) => x * 4) },
      { ...curve, edgesUm: edges.map((x) => x / 4) },
    ]);
    expect(wideFrom).toBeCloseTo(from / 4, 12);
    expect(wideTo).toBeCloseTo(to * 4, 12);
  });
  test("a share below or above is not looked for beyond the edges", () => {
    const open = sizeDistribution({
      quantity: "volume",
      lowerUm: [1, 2],
      upperUm: [2, 4],
      shares: [0.5, 0.3],
      belowShare: 0.1,
      aboveShare: 0.1,
    });
    const [from, to] = overlayRangeUm([curveOf(open)]);
    expect(from).toBeCloseTo(1 / 1.3, 12);
    expect(to).toBeCloseTo(4 * 1.3, 12);
  });
  test("without a curve it shows 0.1 to 100 µm", () => expect(overlayRangeUm([])).toEqual([0.1, 100]));
  test("its sizes are even in ln x, with both ends", () => {
    const sizes = overlaySizesUm([1, 16], 5);
    for (const [i, x] of sizes.entries()) expect(x).toBeCloseTo(2 ** i, 12);
    expect(overlaySizesUm([1, 16]).length).toBe(241);
  });
  test("per cent finer, and per cent per ln size between the half steps", () => {
    const sizes = [1, 2, 4, 8];
    expect(overlayValues(curve, sizes, "undersize")).toEqual([0, 25, 75, 100]);
    const heights = overlayValues(curve, sizes, "log density");
    // Ends: half a step of the class beside them; inside: half of each neighbour's share over one octave.
    expect(heights[0]).toBeCloseTo(25 / Math.LN2, 10);
    expect(heights[1]).toBeCloseTo((12.5 + 25) / Math.LN2, 10);
    expect(heights[2]).toBeCloseTo((25 + 12.5) / Math.LN2, 10);
    expect(heights[3]).toBeCloseTo(25 / Math.LN2, 10);
  });
  test("an envelope is straight in ln x between its sizes and nothing beyond them", () => {
    const envelope = { sizesUm: [1, 4], lowShares: [0.1, 0.5], highShares: [0.3, 0.9] };
    const sizes = [0.9, 1, 2, 4, 4.1];
    const low = envelopeValues(envelope, "low", sizes);
    const high = envelopeValues(envelope, "high", sizes);
    expect([low[0], low[4], high[0], high[4]]).toEqual([null, null, null, null]);
    expect([low[1], low[3], high[1], high[3]]).toEqual([10, 50, 30, 90]);
    expect(low[2]).toBeCloseTo(30, 12);
    expect(high[2]).toBeCloseTo(60, 12);
  });
});

describe("scales", () => {
  test("steps end where they are told to", () => {
    expect(geometricSteps(2, 50, 7).at(-1)).toBe(50);
    expect(geometricSteps(2, 50, 7)[0]).toBe(2);
    expect(evenSteps(2, 8, 4)).toEqual([2, 4, 6, 8]);
  });
  test.each([
    [0, 5],
    [5, 5],
    [6, 5],
    [-1, 5],
  ])("no geometric steps from %f to %f", (from, to) =>
    expect(() => geometricSteps(from, to, 5)).toThrow(/range/),
  );
  test("marks 1, 2, 5 a decade, every step within one, and those on the ends", () => {
    expect(decadeTicks(0.5, 20)).toEqual([0.5, 1, 2, 5, 10, 20]);
    expect(decadeTicks(2, 9)).toEqual([2, 3, 4, 5, 6, 7, 8, 9]);
    expect(decadeTicks(0.9, 4)).toEqual([0.9, 1, 1.5, 2, 3, 4]);
    expect(decadeTicks(1, 10)).toEqual([1, 2, 5, 10]);
    expect(decadeTicks(0.003, 0.07)).toEqual([0.005, 0.01, 0.02, 0.05]);
  });
  test("plain decimals", () => {
    expect([0.2, -5, 100, 0.1 + 0.2, 1234567].map(plainDecimal)).toEqual([
      "0.2",
      "−5",
      "100",
      "0.3",
      "1234570",
    ]);
  });
});

describe("nets", () => {
  test("each family is a straight line on its own net (identity)", () => {
    const normal = { medianUm: 3, gsd: 1.6 };
    const rosin = { characteristicUm: 6, spreadExponent: 2.2 };
    for (const x of [1.5, 3, 4.5]) {
      expect(netHeight("log-probability net", logNormal.cdf(normal, x))).toBeCloseTo(
        Math.log(x / 3) / Math.log(1.6),
        9,
      );
      expect(netHeight("Rosin–Rammler net", rosinRammler.cdf(rosin, x))).toBeCloseTo(
        2.2 * Math.log(x / 6),
        9,
      );
    }
  });
  test("shares below 0.05 % or above 99.95 % have no place on it", () => {
    for (const kind of ["log-probability net", "Rosin–Rammler net"] as const) {
      for (const share of [0, 0.0004, 0.9996, 1]) expect(netHeight(kind, share)).toBeNull();
      for (const share of [0.0005, 0.9995]) expect(netHeight(kind, share)).not.toBeNull();
    }
  });
  test("its per cents stand at their own heights", () => {
    const ticks = netTicks("log-probability net");
    expect(ticks.map((t) => t.label).join(" ")).toBe("0.1 1 5 10 25 50 75 90 95 99 99.9");
    expect(ticks[5]?.at).toBeCloseTo(0, 14);
    // Standard normal table: 1.28155 at 90 %.
    expect(ticks[7]?.at).toBeCloseTo(1.28155, 5);
  });
  test("points and curves span the telling edges, opened by 1.2", () => {
    const net = netOf("log-probability net", powder, [
      { family: "log-normal", parameters: { medianUm: Math.sqrt(8), gsd: 1.6 } },
    ]);
    expect(net.points.map((p) => p.x)).toEqual([2, 4]);
    // Standard normal table: 0.67449 at 75 %.
    expect(net.points[0]?.y).toBeCloseTo(-0.67449, 5);
    expect(net.points[1]?.y).toBeCloseTo(0.67449, 5);
    expect(net.sizesUm[0]).toBeCloseTo(2 / 1.2, 12);
    expect(net.sizesUm.at(-1)).toBeCloseTo(4 * 1.2, 12);
    expect(net.sizesUm.length).toBe(160);
    expect(net.heights[0]?.[0]).toBeCloseTo(Math.log(2 / 1.2 / Math.sqrt(8)) / Math.log(1.6), 9);
    // Standard normal table: 3.2905 at 99.95 %.
    expect(net.range[0]).toBeCloseTo(-3.2905, 4);
    expect(net.range[1]).toBeCloseTo(3.2905, 4);
  });
});
