import fc from "fast-check";
import { expect, test } from "vitest";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { type AskedProduct, inBandSum, type Width } from "#model/mill/prediction/kernels/inBandSums.ts";

// The kernel of the chance in band against its plain formula, place by place, with the normal curve and its inverse
// themselves: the outside truth is what those are checked against (tests/published, tests/validate).

const { undersize } = normalForm;
const steps = 500;
const reach = 8;
const cdf = Float64Array.from({ length: 2 * reach * steps + 1 }, (_, i) => undersize(i / steps - reach));
const rule = { places: [-Math.sqrt(3 / 5), 0, Math.sqrt(3 / 5)], weights: [5 / 9, 8 / 9, 5 / 9] };
const tools = {
  cdf,
  reach,
  steps,
  deviate: normalDeviate,
  falling: Float64Array.from({ length: 28 * 32 }, (_, i) => Math.exp(-i / 32)),
  negligible: 1e-8,
  sure: 1e-6,
  stretch: rule,
  alongCorrelation: rule,
};

/** Φ straight between the places of the table, as the kernel is asked to read it. */
function tabled(z: number): number {
  if (z <= -reach) return 0;
  if (z >= reach) return cdf.at(-1) ?? Number.NaN;
  const i = Math.floor((z + reach) * steps);
  const [from = Number.NaN, to = Number.NaN] = cdf.subarray(i, i + 2);
  return from + (to - from) * ((z + reach) * steps - i);
}

function plainSum({ d50, coarse, fine, correlation: r }: AskedProduct, ends: readonly number[]): number {
  const over = (width: Width, value: (weight: number, mean: number, sd: number) => number, y: number) =>
    width.weights.reduce((sum, weight, k) => {
      const { middle = y, slopes = [], crosses = [], squares = [] } = width.byD50 ?? {};
      const e = y - middle;
      const mean = (width.means[k] ?? Number.NaN) + (slopes[k] ?? 0) * e;
      const own = (width.sds[k] ?? Number.NaN) ** 2;
      const variance = Math.max(own + 2 * (crosses[k] ?? 0) * e + (squares[k] ?? 0) * e ** 2, 1e-18);
      return sum + value(weight, mean, Math.sqrt(variance));
    }, 0);
  const density = (y: number) =>
    over(d50, (w, m, s) => (w * Math.exp(-(((y - m) / s) ** 2) / 2)) / (s * Math.sqrt(2 * Math.PI)), y);
  const chance = ({ width, asked }: AskedProduct["fine"], y: number) => {
    if (width === null || asked.length === 0) return { below: 0, within: 1 };
    const least = Math.max(...asked.map((ask) => ask.least(y)));
    const most = Math.min(...asked.map((ask) => ask.most(y)));
    if (!(most > least)) return { below: 0, within: 0 };
    const below = over(width, (w, m, s) => w * tabled((least - m) / s), y);
    return { below, within: Math.max(over(width, (w, m, s) => w * tabled((most - m) / s), y) - below, 0) };
  };
  const corner = (h: number, k: number, rho: number) =>
    Math.exp(-(h * h - 2 * rho * h * k + k * k) / (2 * (1 - rho * rho))) /
    (2 * Math.PI * Math.sqrt(1 - rho * rho));
  const both = (a: { below: number; within: number }, b: { below: number; within: number }) => {
    const isSure = (p: number) => p < 1e-6 || p > 1 - 1e-6;
    if (Math.abs(r) < 0.01 || isSure(a.within) || isSure(b.within)) return a.within * b.within;
    const z = (p: number) => normalDeviate(Math.min(Math.max(p, 1e-12), 1 - 1e-12));
    const [h1, h2, k1, k2] = [z(a.below), z(a.below + a.within), z(b.below), z(b.below + b.within)];
    const along = rule.places.reduce((sum, place, g) => {
      const rho = (r / 2) * (1 + place);
      const four = corner(h2, k2, rho) - corner(h1, k2, rho) - corner(h2, k1, rho) + corner(h1, k1, rho);
      return sum + (rule.weights[g] ?? Number.NaN) * four;
    }, 0);
    return Math.min(Math.max(a.within * b.within + (r / 2) * along, 0), 1);
  };
  let sum = 0;
  for (const [i, left] of ends.slice(0, -1).entries()) {
    const half = ((ends[i + 1] ?? left) - left) / 2;
    for (const [g, place] of rule.places.entries()) {
      const y = left + half * (1 + place);
      const weight = density(y) * half;
      if (half > 0 && weight >= 1e-8)
        sum += weight * (rule.weights[g] ?? Number.NaN) * both(chance(coarse, y), chance(fine, y));
    }
  }
  return sum;
}

const parts = fc.array(
  fc.record({
    weight: fc.double({ min: 0.001, max: 1, noNaN: true }),
    mean: fc.double({ min: -1, max: 1, noNaN: true }),
    sd: fc.double({ min: 0.01, max: 1, noNaN: true }),
    slope: fc.double({ min: -1, max: 1, noNaN: true }),
    cross: fc.double({ min: -0.05, max: 0.05, noNaN: true }),
    square: fc.double({ min: 0, max: 0.5, noNaN: true }),
  }),
  { minLength: 1, maxLength: 6 },
);
const mixture = parts.map((all) => {
  const whole = all.reduce((sum, { weight }) => sum + weight, 0);
  return {
    weights: all.map(({ weight }) => weight / whole),
    means: all.map(({ mean }) => mean),
    sds: all.map(({ sd }) => sd),
    byD50: {
      middle: 0.1,
      slopes: all.map(({ slope }) => slope),
      crosses: all.map(({ cross }) => cross),
      squares: all.map(({ square }) => square),
    },
  };
});
const limit = fc.oneof(
  fc.double({ min: -2, max: 2, noNaN: true }),
  fc.constantFrom(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY),
);
const asks = fc.array(
  fc.tuple(limit, limit).map(([a, b]) => ({
    least: (y: number) => Math.min(a, b) - y,
    most: (y: number) => Math.max(a, b) - y / 2,
  })),
  { maxLength: 3 },
);
const width = fc.record({
  width: fc.oneof(
    fc.constant(null),
    mixture,
    mixture.map(({ byD50: _, ...alone }) => alone),
  ),
  asked: asks,
});

test("the sum over ln D50 in a kernel is that of the plain formula", () => {
  fc.assert(
    fc.property(
      fc.record({
        d50: mixture.map(({ byD50: _, ...alone }) => alone),
        coarse: width,
        fine: width,
        correlation: fc.double({ min: -0.95, max: 0.95, noNaN: true }),
      }),
      fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 2, maxLength: 8 }),
      (product, places) => {
        const ends = places.toSorted((a, b) => a - b);
        expect(Math.abs(inBandSum(product, ends, tools) - plainSum(product, ends))).toBeLessThan(1e-10);
      },
    ),
    { numRuns: 200 },
  );
});
