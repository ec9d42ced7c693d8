import { describe, expect, test } from "vitest";
import { judgedRows } from "#model/mill/prediction/judgedRows.ts";
import { momentWith, shapeOf, widthsAt } from "#model/mill/prediction/productShape.ts";

// Worked by hand: the mean of x^p over a class whose share is even in ln x is (b^p − a^p)/(p ln(b/a)).
const shape = shapeOf({ edgesUm: [0.25, 0.5, 1, 2, 4], undersize: [0, 0.1, 0.5, 0.9, 1], power: 0 });
if (shape === null) throw new Error("the curve has its percentiles");
const classes = [
  [0.25, 0.5, 0.1],
  [0.5, 1, 0.4],
  [1, 2, 0.4],
  [2, 4, 0.1],
] as const;
const mean = (p: number, place: (x: number) => number = (x) => x) =>
  classes.reduce((sum, [from, to, share]) => {
    const [a, b] = [place(from), place(to)];
    return sum + (share * (b ** p - a ** p)) / (p * Math.log(b / a));
  }, 0);

describe("the shape of a product", () => {
  test("has its own widths, and its means are those of its classes", () => {
    expect(shape.fineWidth).toBeCloseTo(Math.LN2, 12);
    expect(shape.coarseWidth).toBeCloseTo(Math.LN2, 12);
    for (const p of [-1, 1]) {
      expect(momentWith(shape, p, "fine", shape.fineWidth)).toBeCloseTo(mean(p), 12);
      expect(momentWith(shape, p, "coarse", shape.coarseWidth)).toBeCloseTo(mean(p), 12);
    }
  });
  test("stretched on one side, the other stays: sizes below 1 are squared, or those above", () => {
    const wider = 2 * Math.LN2;
    expect(momentWith(shape, -1, "fine", wider)).toBeCloseTo(
      mean(-1, (x) => (x < 1 ? x * x : x)),
      12,
    );
    expect(momentWith(shape, 1, "coarse", wider)).toBeCloseTo(
      mean(1, (x) => (x > 1 ? x * x : x)),
      12,
    );
  });
  test("a share finer lies so many widths from the median", () => {
    expect(widthsAt(shape, 0.1)).toBeCloseTo(-1, 12);
    expect(widthsAt(shape, 0.9)).toBeCloseTo(1, 12);
    // Half the share of the class from 0.5 to 1: halfway in ln x.
    expect(widthsAt(shape, 0.3)).toBeCloseTo(-0.5, 12);
    expect([widthsAt(shape, 0), widthsAt(shape, 1)]).toEqual([null, null]);
  });
});

test.each([
  { limit: "d10Um", low: 1.4, high: 2 },
  { limit: "d90Um", low: 5, high: 6.5 },
  { limit: "surfaceM2PerG", low: 0.4, high: 0.6 },
  { limit: "sauterUm", low: 2, high: 3 },
  { limit: "deBrouckereUm", low: 3, high: 4.5 },
] as const)("$limit turns from met to not met just where its width is what it asks", (row) => {
  const judged = judgedRows([row], { fine: true, coarse: true, shape, densityGPerCm3: 4.55 });
  const asks = [...judged.fine, ...judged.coarse];
  expect(asks).toHaveLength(1);
  for (const { least, most, turnsAt } of asks)
    for (const width of [0.4, 0.7, 1.1]) {
      const turns = turnsAt(width);
      expect(turns).toHaveLength(2);
      for (const y of turns)
        expect(Math.min(Math.abs(least(y) - width), Math.abs(most(y) - width))).toBeLessThan(1e-9);
    }
});

test("a curve that ends below its D90 has no shape", () => {
  expect(shapeOf({ edgesUm: [0.25, 0.5, 1, 2], undersize: [0, 0.1, 0.5, 0.8], power: 0 })).toBeNull();
});

test("limits on D75 and D25 ask of a width what lies so many widths from the median", () => {
  // By hand: D75 of the shape lies at 2^0.625, five eighths of the way to D90 in ln x; D25 likewise at 2^−0.625.
  const { fine, coarse } = judgedRows(
    [
      { limit: "d75Um", low: 1.5, high: 3 },
      { limit: "d25Um", low: 0.4, high: 0.8 },
    ],
    { coarse: {}, fine: {}, shape },
  );
  expect(coarse[0]?.least(0.1)).toBeCloseTo((Math.log(1.5) - 0.1) / 0.625, 10);
  expect(coarse[0]?.most(0.1)).toBeCloseTo((Math.log(3) - 0.1) / 0.625, 10);
  expect(fine[0]?.least(0.1)).toBeCloseTo((0.1 - Math.log(0.8)) / 0.625, 10);
  expect(fine[0]?.most(0.1)).toBeCloseTo((0.1 - Math.log(0.4)) / 0.625, 10);
});
