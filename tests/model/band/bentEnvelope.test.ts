import { expect, test } from "vitest";
import { bentEnvelope } from "#model/band/bentEnvelope.ts";

const envelope = {
  sizesUm: [1, 2, 3, 4, 5],
  lowShares: [0, 0.2, 0.4, 0.6, 0.8],
  highShares: [0.2, 0.4, 0.6, 0.8, 1],
};

// By hand: half the way at one place of two, all of it at the place itself.
test("a limit moved at one size takes its neighbours half the way, and leaves those out of reach", () => {
  const { highShares, lowShares } = bentEnvelope(envelope, { side: "highShares", index: 2, reach: 2 }, 0.7);
  expect(highShares.map((s) => Number(s.toFixed(12)))).toEqual([0.2, 0.45, 0.7, 0.85, 1]);
  expect(lowShares).toEqual(envelope.lowShares);
});

test("the lower limit never passes the upper one, a share never leaves 0 to 1, and both rise with size", () => {
  const raised = bentEnvelope(envelope, { side: "lowShares", index: 2, reach: 2 }, 2);
  expect(raised.lowShares[2]).toBe(0.6);
  const sunk = bentEnvelope(envelope, { side: "lowShares", index: 3, reach: 1 }, -1);
  expect(sunk.lowShares.map((s) => Number(s.toFixed(12)))).toEqual([0, 0, 0, 0, 0.8]);
  const high = bentEnvelope(envelope, { side: "highShares", index: 0, reach: 1 }, 0.9);
  expect(high.highShares.map((s) => Number(s.toFixed(12)))).toEqual([0.9, 0.9, 0.9, 0.9, 1]);
});
