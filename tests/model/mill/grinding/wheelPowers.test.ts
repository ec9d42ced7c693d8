import fc from "fast-check";
import { expect, test } from "vitest";
import { fallingGrid, gaussPlaces } from "#model/mill/grinding/kernel.ts";
import { meansInClasses } from "#model/mill/grinding/kernels/rates.ts";
import { passingByClass } from "#model/mill/grinding/steady.ts";
import { passingByLn, passingOfFinest } from "#model/mill/separation/separation.ts";

// The share of each class that passes, by powers carried from class to class. Outside truth: the plain mean, which works out
// the curve anew at every place of every class.
test("powers carried from class to class give what the plain mean of the curve gives", () => {
  fc.assert(
    fc.property(
      fc.constantFrom("log-logistic" as const, "plitt" as const),
      fc.double({ min: 0.02, max: 0.9999, noNaN: true }),
      fc.double({ min: -12, max: 12, noNaN: true }),
      fc.double({ min: 1.001, max: 4, noNaN: true }),
      fc.integer({ min: 1, max: 200 }),
      fc.constantFrom([0, 0], [0.1, 0], [0, 0.02], [0.2, 0.05], [1, 0], [1, 0.1]),
      (kind, sharpness, lnCut, ratio, count, [bypassShare = 0, leakShare = 0]) => {
        const grid = fallingGrid(100, ratio, count);
        const separation = { kind, sharpness, cutUm: Math.exp(lnCut), bypassShare, leakShare };
        const quick = passingByClass(grid, separation);
        const plain = meansInClasses(
          {
            topLn: Math.log(100 / separation.cutUm),
            widthLn: Math.log(ratio),
            classes: count,
            below: passingOfFinest(separation),
          },
          gaussPlaces,
          passingByLn(separation),
        );
        const off = quick.map((share, i) => Math.abs(share - (plain[i] ?? Number.NaN)));
        expect(Math.max(...off)).toBeLessThanOrEqual(2e-13);
      },
    ),
    { numRuns: 500 },
  );
});
