import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { StandardForm } from "#distributions/families/family.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import {
  type CentredPoints,
  sumsAt,
  sumsOfNormal,
  sumsOfRosinRammler,
} from "#model/fit/kernels/newtonSums.ts";
import { normalTableOf } from "#model/fit/kernels/normalTable.ts";
import { centred, newtonFit } from "#model/fit/newton.ts";

// The quick sums and the plain formula share no line but the form: each is the other's check.
const table = normalTableOf(normalForm);
const quick = {
  "log-normal": (points: CentredPoints, slope: number, level: number) =>
    sumsOfNormal(table, points, slope, level),
  "rosin-rammler": sumsOfRosinRammler,
};
const forms = { "log-normal": logNormal.form, "rosin-rammler": rosinRammler.form };
const names = ["log-normal", "rosin-rammler"] as const;

const unit = fc.double({ min: 0, max: 1, noNaN: true });
/** Sizes in steps of any width, from classes that hardly differ to gaps of four in ln x; shares that rise or stay flat. */
const points = fc
  .array(fc.tuple(fc.double({ min: 1e-4, max: 4, noNaN: true }), unit, fc.boolean()), {
    minLength: 3,
    maxLength: 120,
  })
  .map((rows): CentredPoints => {
    let ln = -3;
    let level = 0;
    const lns = rows.map(([step]) => (ln += step));
    const rises = rows.map(([, rise, isFlat]) => (level += isFlat ? 0 : rise));
    return { ts: centred(lns).ts, shares: rises.map((v) => (level > 0 ? v / level : 0)) };
  });

describe.each(names)("the quick sums of %s are those of the plain formula", (name) => {
  test("on any sizes, with flat curves and lines from level to steep", () => {
    fc.assert(
      fc.property(
        points,
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -9, max: 9, noNaN: true }),
        (all, lnSlope, level) => {
          const slope = Math.exp(lnSlope);
          const own = quick[name](all, slope, level);
          const plain = sumsAt(forms[name], all, slope, level);
          const reach = Math.max(...all.ts.map(Math.abs), 1);
          // Each point may differ by 2e-15 of a curve that is at most 1 high.
          const near = (a: number, b: number, power: number) =>
            expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-14 * all.ts.length * reach ** power);
          near(own.error, plain.error, 0);
          for (const [i, power] of [1, 0].entries())
            near(own.gradient[i] ?? 9, plain.gradient[i] ?? 0, power);
          for (const [i, power] of [2, 1, 0].entries()) {
            near(own.squared[i] ?? 9, plain.squared[i] ?? 0, power);
            near(own.exact[i] ?? 9, plain.exact[i] ?? 0, power);
          }
        },
      ),
      { numRuns: 300, seed: 20261130 },
    );
  });
  test("beyond all reach of the curve, and at no number", () => {
    const far = { ts: [-1e6, -50, 50, 1e6], shares: [0.1, 0.2, 0.7, 0.8] };
    const own = quick[name](far, 1, 0);
    // Worked by hand: the curve is 0, 0, 1 and 1 there, and level.
    expect(own.error).toBeCloseTo(0.01 + 0.04 + 0.09 + 0.04, 14);
    expect(own.gradient.map(Math.abs)).toEqual([0, 0]);
    expect(quick[name](far, Number.NaN, 0).error).toBeNaN();
  });
});

test("the table holds Φ and φ as the form does, between its places too", () => {
  for (let u = -8.6; u < 8.6; u += 0.00317) {
    const { error, squared } = sumsOfNormal(table, { ts: [u], shares: [normalForm.undersize(u)] }, 1, 0);
    expect(Math.sqrt(error)).toBeLessThan(4e-16);
    expect(Math.abs(Math.sqrt(squared[2]) - normalForm.slope(u))).toBeLessThan(3e-15);
  }
});

/** How far a step of the plain formula would still move slope and level, as a share of them. */
function offOptimum(
  { form }: { readonly form: StandardForm },
  all: CentredPoints,
  middle: number,
  [location = 0, lnScale = 0]: readonly number[],
): number {
  const slope = Math.exp(-lnScale);
  const level = (middle - location) * slope;
  const { gradient, exact } = sumsAt(form, all, slope, level);
  const [g0, g1] = gradient;
  const [tt, t1, one] = exact;
  const whole = tt * one - t1 * t1;
  return Math.max(
    Math.abs((one * g0 - t1 * g1) / whole) / slope,
    Math.abs((tt * g1 - t1 * g0) / whole) / (1 + Math.abs(level)),
  );
}

test.each([
  ["log-normal", logNormal],
  ["rosin-rammler", rosinRammler],
] as const)("a fit of %s ends within 1e-12 of the optimum, on noisy curves and any sizes", (_, family) => {
  fc.assert(
    fc.property(
      fc.record({
        location: fc.double({ min: -1, max: 3, noNaN: true }),
        lnScale: fc.double({ min: -2, max: 0.5, noNaN: true }),
        off: fc.tuple(
          fc.double({ min: -0.3, max: 0.3, noNaN: true }),
          fc.double({ min: -0.3, max: 0.3, noNaN: true }),
        ),
        steps: fc.array(fc.double({ min: 0.02, max: 0.3, noNaN: true }), { minLength: 40, maxLength: 110 }),
        noise: fc.double({ min: 0, max: 0.01, noNaN: true }),
      }),
      ({ location, lnScale, off, steps, noise }) => {
        const scale = Math.exp(lnScale);
        const reach = steps.reduce((a, b) => a + b, 0);
        let ln = location - reach / 2;
        const lns = steps.map((step) => (ln += step));
        const shares = lns.map(
          (x, i) => family.form.undersize((x - location) / scale) + noise * Math.sin(2.3 * i + 7 * location),
        );
        const sizes = centred(lns);
        const start: [number, number] = [location + off[0] * scale, lnScale + off[1]];
        const found = newtonFit(family.form, sizes, shares, start);
        expect(found?.status).toBe("converged");
        const all = { ts: sizes.ts, shares };
        expect(offOptimum(family, all, sizes.middle, found?.parameters ?? [])).toBeLessThan(1e-12);
      },
    ),
    { numRuns: 200, seed: 20261130 },
  );
});
