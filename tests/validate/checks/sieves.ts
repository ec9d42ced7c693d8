import { curveOf, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { arithmeticMeanUm, convert, geometricMeanUm, meanOfPower } from "#distributions/moments.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { type Check, type CheckGroup, table } from "../check.ts";
import { screens, withoutPan } from "./screens.ts";

const topic = "Sieve and screen analyses";

/** Lower sieve mm, printed geometric mean, %, printed share passing. */
const laboratory: readonly (readonly [number, number, string, string])[] = [
  [90, 0, "", "1.000"],
  [75, 4.7, "82.1584", "0.953"],
  [19, 14.4, "37.7492", "0.809"],
  [4, 20.7, "8.7178", "0.602"],
  [1, 17.5, "2", "0.427"],
  [0.6, 7.1, "0.7746", "0.356"],
  [0.125, 13.6, "0.2739", "0.220"],
  [0.063, 6.2, "0.0887", "0.158"],
];

const laboratoryPage: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "mineral-processing laboratory page",
    full: "A university's mineral-processing course, laboratory 3: sieve analysis with geometric means of the classes.",
    reading: "read",
  },
  checks: () => {
    const m = screens(
      laboratory.map(([size, percent]): [number, number] => [size, percent / 100]),
      0.158,
    );
    return laboratory.slice(1).flatMap(([size, , mid, passing], i): Check[] => [
      {
        quantity: `geometric mean over ${size} mm, mm`,
        published: mid,
        ours: () => meanOfPower(size, laboratory[i]?.[0] ?? 0, 1, "geometric-mid"),
      },
      { quantity: `passing ${size} mm`, published: passing, ours: () => undersizeAt(curveOf(m), size) },
    ]);
  },
};

const carbon: CheckGroup = {
  topic,
  kind: "printed",
  source: {
    short: "12×30 mesh carbon",
    full: "A printed worked example of the mean particle diameter of granular carbon, 12×30 mesh, 100.4 g; the document is not named.",
    reading: "second-hand",
  },
  checks: () => {
    const grams: [number, number][] = [
      [2.36, 0],
      [1.7, 1.5],
      [1.18, 25.1],
      [0.85, 50.2],
      [0.6, 22.5],
    ];
    const total = 100.4;
    const m = screens(
      grams.map(([size, g]): [number, number] => [size, g / total]),
      1.1 / total,
    );
    return [
      {
        quantity: "mean, the pan counted at size 0, mm",
        published: "1.061",
        ours: () => (arithmeticMeanUm(withoutPan(m)) ?? Number.NaN) * (1 - m.belowShare),
        differs:
          "The source rounds each mean opening to 0.01 mm (1.015 to 1.02) and each product to 0.1; from the sieves' own openings the mean is 0.0007 mm less.",
      },
      ...table<[number, number]>(
        [
          ["mean opening on 12 mesh, mm", "2.03", 1.7, 2.36],
          ["mean opening on 16 mesh, mm", "1.44", 1.18, 1.7],
          ["mean opening on 20 mesh, mm", "1.02", 0.85, 1.18],
          ["mean opening on 30 mesh, mm", "0.72", 0.6, 0.85],
        ],
        (lower, upper) => meanOfPower(lower, upper, 1, "arithmetic-mid"),
      ),
    ];
  },
};

const supplierSand: CheckGroup = {
  topic,
  kind: "computed",
  source: {
    short: "fluidised-bed sand",
    full: "Sieve table of a fluidised-bed sand as printed in a script of a public repository (doi 10.5281/zenodo.7924693); the results beside it are this project's arithmetic.",
    reading: "second-hand",
  },
  checks: () => {
    const rows: [number, number][] = [
      [425, 0],
      [300, 0.022],
      [212, 0.147],
      [150, 0.475],
      [106, 0.288],
      [75, 0.064],
      [53, 0.004],
    ];
    const m = screens(rows, 0);
    return [
      { quantity: "mean of arithmetic mids, µm", published: "174.5", ours: () => arithmeticMeanUm(m) },
      ...table<[number]>(
        [
          ["D10, µm", "110.2", 0.1],
          ["D50, µm", "166.6", 0.5],
          ["D90, µm", "249.5", 0.9],
        ],
        (fraction) => sizeAt(curveOf(m), fraction),
      ),
    ];
  },
};

const riverGravel: CheckGroup = {
  topic,
  kind: "computed",
  source: {
    short: "Mamquam gravel",
    full: "S. P. Rice and M. Church 1996, J. Sedimentary Research 66, 654: 3,574 pebbles through templates; the results beside it are this project's arithmetic.",
    reading: "second-hand",
  },
  checks: () => {
    const counts = [1, 6, 34, 58, 94, 161, 262, 340, 497, 628, 652, 495, 259, 60, 25, 2];
    const all = counts.reduce((a, b) => a + b, 0);
    const m = sizeDistribution({
      quantity: "number",
      lowerUm: counts.map((_, i) => 2 ** (0.5 + i / 2)),
      upperUm: counts.map((_, i) => 2 ** (1 + i / 2)),
      shares: counts.map((n) => n / all),
    });
    const byVolume = convert(sizeDistribution({ ...m, inClass: "geometric-mid" }), "volume");
    return [
      ...table<[number]>(
        [
          ["D16 by number, mm", "15.09", 0.16],
          ["D50 by number, mm", "38.48", 0.5],
          ["D84 by number, mm", "77.27", 0.84],
        ],
        (fraction) => sizeAt(curveOf(m), fraction),
      ),
      {
        quantity: "mean by number, −φ",
        published: "5.1207",
        ours: () => Math.log2(geometricMeanUm(m) ?? Number.NaN),
      },
      {
        quantity: "D50 by volume (mids), mm",
        published: "116.7",
        ours: () => (byVolume === null ? null : sizeAt(curveOf(byVolume), 0.5)),
      },
    ];
  },
};

export const sieves: readonly CheckGroup[] = [laboratoryPage, carbon, supplierSand, riverGravel];
