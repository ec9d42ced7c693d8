import { expect, test } from "vitest";
import { roomToLimits } from "#model/pictures/roomToLimits.ts";

const row = { value: 3.1, low: 2.8, high: 3.4, interval: { low: 3, high: 3.2, level: 0.95 } };

// By the definition of the picture: the lower limit is 0, the upper one 1, worked out by hand.
test("a value halfway between its limits has its place in the middle, its interval on the same scale", () => {
  const room = roomToLimits(row);
  expect(room?.value).toBeCloseTo(0.5, 12);
  expect(room?.low).toBeCloseTo(1 / 3, 12);
  expect(room?.high).toBeCloseTo(2 / 3, 12);
});

test("out of the limits it lies beyond 0 or 1; an upper limit alone is measured from nothing", () => {
  expect(roomToLimits({ ...row, value: 4 })?.value).toBeCloseTo(2, 12);
  expect(roomToLimits({ ...row, low: null, value: 1.7, interval: null })).toEqual({
    value: 0.5,
    low: null,
    high: null,
  });
});

test("without a value or an upper limit there is no room to draw", () => {
  expect(roomToLimits({ ...row, value: null })).toBeNull();
  expect(roomToLimits({ ...row, high: null })).toBeNull();
  expect(roomToLimits({ ...row, low: 3.4 })).toBeNull();
});
