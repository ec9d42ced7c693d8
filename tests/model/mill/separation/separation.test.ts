import { describe, expect, test } from "vitest";
import {
  passing,
  passingByLn,
  passingOfFinest,
  type Separation,
  separationKinds,
  steepness,
  whitenSharpness,
} from "#model/mill/separation/separation.ts";

const plain: Separation = { kind: "plitt", cutUm: 4, sharpness: 0.6, bypassShare: 0, leakShare: 0 };
const curved = separationKinds.filter((kind) => kind !== "ideal");

/** Where the share that passes falls through a level, by bisection in ln x. */
function sizeWhere(pass: (sizeUm: number) => number, share: number): number {
  let low = -10;
  let high = 10;
  for (let i = 0; i < 200; i++) {
    const mid = (low + high) / 2;
    if (pass(Math.exp(mid)) > share) low = mid;
    else high = mid;
  }
  return Math.exp((low + high) / 2);
}

// Expected values are the definitions: the cut passes one half, sharpness is x25/x75 of what is thrown back.
describe.each(curved)("%s", (kind) => {
  test.each([0.3, 0.6, 0.9])("half passes at the cut, and x25/x75 is the sharpness of %f", (sharpness) => {
    const pass = passing({ ...plain, kind, sharpness });
    expect(pass(4)).toBeCloseTo(0.5, 10);
    expect(sizeWhere(pass, 0.75) / sizeWhere(pass, 0.25)).toBeCloseTo(sharpness, 9);
  });
  test("it falls from all to none without a number that is none", () => {
    const pass = passingByLn({ ...plain, kind });
    const shares = Array.from({ length: 81 }, (_, i) => pass(-20 + i / 2));
    for (const [i, share] of shares.entries()) {
      expect(share).toBeGreaterThanOrEqual(0);
      expect(share).toBeLessThanOrEqual(shares[i - 1] ?? 1);
    }
    expect(shares[0]).toBeCloseTo(1, kind === "whiten" ? 6 : 3);
    expect(shares.at(-1)).toBeCloseTo(0, 12);
  });
  test.each([0, 1, -0.5, 1.5, Number.NaN])("a sharpness of %f is none", (sharpness) =>
    expect(() => passing({ ...plain, kind, sharpness })).toThrow(/sharpness/),
  );
});

test("an ideal wheel passes all up to the cut and nothing above", () => {
  const pass = passing({ ...plain, kind: "ideal" });
  expect([pass(3.99), pass(4), pass(4.01)]).toEqual([1, 1, 0]);
});

test("Whiten's curve is 1/9 sharp at no steepness, and its two forms meet", () => {
  expect(whitenSharpness(1e-9)).toBeCloseTo(1 / 9, 8);
  expect(whitenSharpness(299.999)).toBeCloseTo(whitenSharpness(300.001), 6);
  // ln((e^2 + 2)/3) / ln(3e^2 − 2), worked on a calculator.
  expect(whitenSharpness(2)).toBeCloseTo(Math.log((Math.E ** 2 + 2) / 3) / Math.log(3 * Math.E ** 2 - 2), 12);
  expect(() => steepness("whiten", 1 / 9)).toThrow(/sharpness/);
  expect(() => steepness("whiten", 0.12)).not.toThrow();
  expect(whitenSharpness(steepness("whiten", 0.995))).toBeCloseTo(0.995, 10);
});

test("a bypass takes its part of every size, a leak lets at least its part through", () => {
  const bypassed = passing({ ...plain, bypassShare: 0.2 });
  expect(bypassed(4)).toBeCloseTo(0.4, 10);
  const leaking = passing({ ...plain, leakShare: 0.05 });
  expect(leaking(1000)).toBe(0.05);
  expect(leaking(4)).toBeCloseTo(0.5, 10);
  expect(passingOfFinest({ ...plain, bypassShare: 0.2 })).toBeCloseTo(0.8, 14);
  expect(passingOfFinest({ ...plain, bypassShare: 0.9, leakShare: 0.3 })).toBe(0.3);
});

test.each([
  ["bypassShare", { bypassShare: -0.1 }],
  ["bypassShare", { bypassShare: 1.1 }],
  ["leakShare", { leakShare: -0.1 }],
  ["leakShare", { leakShare: 1.1 }],
  ["cutUm", { cutUm: 0 }],
])("%s out of range is refused", (name, change) =>
  expect(() => passing({ ...plain, ...change })).toThrow(new RegExp(name)),
);

test("the ends of the shares are allowed", () => {
  expect(passing({ ...plain, bypassShare: 1 })(1)).toBe(0);
  expect(passing({ ...plain, leakShare: 1 })(100)).toBe(1);
  expect(passing({ ...plain, cutUm: 0.5 })(0.5)).toBeCloseTo(0.5, 10);
});
