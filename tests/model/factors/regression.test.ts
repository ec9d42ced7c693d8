import { expect, test } from "vitest";
import { correlationOf, regressionOn } from "#model/factors/regression.ts";

/** Longley's data, the hardest of the linear problems here: six columns that nearly hang together. Source: NIST StRD, from memory. */
const longley = [
  [60323, 83.0, 234289, 2356, 1590, 107608, 1947],
  [61122, 88.5, 259426, 2325, 1456, 108632, 1948],
  [60171, 88.2, 258054, 3682, 1616, 109773, 1949],
  [61187, 89.5, 284599, 3351, 1650, 110929, 1950],
  [63221, 96.2, 328975, 2099, 3099, 112075, 1951],
  [63639, 98.1, 346999, 1932, 3594, 113270, 1952],
  [64989, 99.0, 365385, 1870, 3547, 115094, 1953],
  [63761, 100.0, 363112, 3578, 3350, 116219, 1954],
  [66019, 101.2, 397469, 2904, 3048, 117388, 1955],
  [67857, 104.6, 419180, 2822, 2857, 118734, 1956],
  [68169, 108.4, 442769, 2936, 2798, 120445, 1957],
  [66513, 110.8, 444546, 4681, 2637, 121950, 1958],
  [68655, 112.6, 482704, 3813, 2552, 123366, 1959],
  [69564, 114.2, 502601, 3931, 2514, 125368, 1960],
  [69331, 115.7, 518173, 4806, 2572, 127852, 1961],
  [70551, 116.9, 554894, 4007, 2827, 130081, 1962],
];
const column = (j: number) => longley.flatMap((row) => row.slice(j, j + 1));

test("Longley: certified slopes, their standard errors and the residual SD to nine digits and more", () => {
  const fit = regressionOn([1, 2, 3, 4, 5, 6].map(column), column(0));
  const certified = [
    [15.0618722713733, 84.9149257747669],
    [-0.035819179292591, 0.0334910077722432],
    [-2.02022980381683, 0.488399681651699],
    [-1.03322686717359, 0.214274163161675],
    [-0.0511041056535807, 0.22607320006937],
    [1829.15146461355, 455.478499142212],
  ] as const;
  for (const [j, [slope, error]] of certified.entries()) {
    expect((fit?.slopes[j] ?? Number.NaN) / slope).toBeCloseTo(1, 9);
    expect((fit?.standardErrors[j] ?? Number.NaN) / error).toBeCloseTo(1, 9);
  }
  expect((fit?.residualSd ?? Number.NaN) / 304.854073561965).toBeCloseTo(1, 10);
});

test("columns that hang together, or more of them than lots, have no regression", () => {
  const y = [1, 2, 4, 3, 6];
  const x = [1, 2, 3, 4, 5];
  expect(regressionOn([x, x.map((v) => 2 * v + 1)], y)).toBeNull();
  expect(regressionOn([[1, 1, 1, 1, 1]], y)).toBeNull();
  expect(regressionOn([x, [1, 0, 1, 0, 0], [0, 1, 1, 0, 1], [1, 1, 0, 0, 1]], y)).toBeNull();
  expect(() => regressionOn([[1, 2]], y)).toThrow(/as many values/);
});

test("without a column the mean and the scatter are left", () => {
  const fit = regressionOn([], [1, 2, 3, 4]);
  expect(fit?.meanOfResult).toBe(2.5);
  expect(fit?.residualSd).toBeCloseTo(Math.sqrt(5 / 3), 14);
});

test("a correlation with what does not vary is none", () => {
  expect(correlationOf([1, 2, 3], [5, 5, 5])).toBe(0);
  expect(correlationOf([1, 2, 3], [3, 2, 1])).toBeCloseTo(-1, 14);
});
