import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Curve, undersizeAt } from "#distributions/curve.ts";
import { type CircuitShape, productTied, tiedKernel, tiedSlopes } from "#model/mill/grinding/tied.ts";

// The slopes of a product that is tied to its median are had from the balance differentiated term by term. Outside truth:
// differences of the product itself, its cut sought anew at each side.
const feed: Curve = {
  edgesUm: [1, 5, 20, 60, 150],
  undersize: [0, 0.05, 0.4, 0.8, 1],
  power: 0,
};
const step = 1e-3;

function shapeOf(logitSharpness: number, lnExponent: number, lnLoad: number): CircuitShape {
  return {
    sharpness: 1 / (1 + Math.exp(-logitSharpness)),
    fragmentKind: "power",
    fragmentExponent: Math.exp(lnExponent),
    load: { at: "cut", value: Math.exp(lnLoad) },
    rateExponent: 1.3,
  };
}

function undersizesOf(at: readonly [number, number, number], medianUm: number, sizesUm: readonly number[]) {
  const shape = shapeOf(...at);
  const product = productTied(tiedKernel(feed, shape, medianUm, 4), shape, medianUm);
  return product === null ? null : sizesUm.map((x) => undersizeAt(product.productCurve, x));
}

describe("the slopes of a product that is tied to its median", () => {
  test("are those of the product by sharpness, fragments and load", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1, max: 2, noNaN: true }),
        fc.double({ min: -0.8, max: 1.5, noNaN: true }),
        fc.double({ min: -3, max: 2, noNaN: true }),
        fc.double({ min: 1.5, max: 5, noNaN: true }),
        (logitSharpness, lnExponent, lnLoad, medianUm) => {
          const at = [logitSharpness, lnExponent, lnLoad] as const;
          const shape = shapeOf(...at);
          const kernel = tiedKernel(feed, shape, medianUm, 4);
          const product = productTied(kernel, shape, medianUm);
          fc.pre(product !== null);
          const slopes = tiedSlopes(kernel, shape, { separation: product.separation, medianUm });
          const sizesUm = [0.3, 0.6, 1, 1.4, 2].map((part) => part * medianUm);
          const sides = ([0, 1, 2] as const).map((k) => {
            const moved = (by: number) =>
              undersizesOf(
                [at[0] + (k === 0 ? by : 0), at[1] + (k === 1 ? by : 0), at[2] + (k === 2 ? by : 0)],
                medianUm,
                sizesUm,
              );
            return [moved(step), moved(-step)] as const;
          });
          for (const [i, sizeUm] of sizesUm.entries()) {
            const exact = slopes?.(sizeUm);
            for (const [k, [up, down]] of sides.entries()) {
              if (up === null || down === null) continue;
              // Differences are off by the step squared, and by the 1e-9 of the median.
              const difference = ((up[i] ?? Number.NaN) - (down[i] ?? Number.NaN)) / (2 * step);
              expect(Math.abs((exact?.[k] ?? Number.NaN) - difference)).toBeLessThan(1e-5);
            }
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  test("are not had of fragments that are no power of their piece", () => {
    const shape: CircuitShape = { ...shapeOf(0.4, 0, 0), fragmentKind: "broadbent-callcott" };
    const kernel = tiedKernel(feed, shape, 3, 4);
    const product = productTied(kernel, shape, 3);
    expect(product).not.toBeNull();
    expect(product && tiedSlopes(kernel, shape, { separation: product.separation, medianUm: 3 })).toBeNull();
  });
});
