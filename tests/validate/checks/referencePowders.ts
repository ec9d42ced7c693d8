import { type Curve, curveOf, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { type Check, type CheckGroup, table } from "../check.ts";

const topic = "Reference powders";

/** A curve through sizes and the shares finer than them. */
function curveThrough(points: readonly (readonly [sizeUm: number, finer: number, ...unknown[]])[]): Curve {
  return curveOf(
    sizeDistribution({
      quantity: "volume",
      lowerUm: points.slice(0, -1).map(([x]) => x),
      upperUm: points.slice(1).map(([x]) => x),
      shares: points.slice(1).map(([, q], i) => q - (points[i]?.[1] ?? 0)),
      belowShare: points[0]?.[1] ?? 0,
      aboveShare: 1 - (points.at(-1)?.[1] ?? 1),
    }),
  );
}

/** Stokes size, certified mass share finer, its standard uncertainty. */
const quartz: readonly (readonly [number, number, number])[] = [
  [0.35, 0.024, 0.013],
  [0.5, 0.063, 0.019],
  [0.6, 0.11, 0.04],
  [0.75, 0.2, 0.06],
  [0.9, 0.33, 0.06],
  [1.05, 0.45, 0.06],
  [1.2, 0.54, 0.07],
  [1.5, 0.72, 0.06],
  [1.85, 0.85, 0.04],
  [2.5, 0.955, 0.023],
  [3.5, 0.996, 0.005],
];

const bcr = {
  short: "BCR-066 certificate",
  full: "BCR-066 quartz, certificate of 1979 revised May 2007 (gravity pipette).",
  reading: "read",
} as const;

/** How good is a line straight in ln x? Each inner point, read off the curve through all the others. */
const leftOut: CheckGroup = {
  topic,
  kind: "printed",
  source: bcr,
  checks: () =>
    quartz.slice(1, -1).map(
      ([x, q, uncertainty]): Check => ({
        quantity: `share finer than ${x} µm, from the other points`,
        published: String(q),
        ours: () => undersizeAt(curveThrough(quartz.filter(([other]) => other !== x)), x),
        tolerance: { by: "difference", atMost: uncertainty },
        ...(x === 2.5
          ? {
              differs:
                "Without it nothing is known between 1.85 and 3.5 µm, where the curve bends: a straight line in ln x over a step of 1.9 is too long. Within the certified uncertainty everywhere else.",
            }
          : {}),
      }),
    ),
};

const quartzMedian: CheckGroup = {
  topic,
  kind: "computed",
  source: bcr,
  checks: () => [{ quantity: "D50, µm", published: "1.131", ours: () => sizeAt(curveThrough(quartz), 0.5) }],
};

const cement: CheckGroup = {
  topic,
  kind: "computed",
  source: {
    short: "SRM 114q",
    full: "NIST SP 260-166, table 8: SRM 114q portland cement by laser diffraction; the percentiles are this project's arithmetic.",
    reading: "second-hand",
  },
  checks: () => {
    const curve = curveThrough([
      [1, 0.051],
      [1.5, 0.08],
      [2, 0.112],
      [3, 0.163],
      [4, 0.21],
      [6, 0.296],
      [8, 0.376],
      [12, 0.51],
      [16, 0.628],
      [24, 0.808],
      [32, 0.912],
      [48, 0.984],
      [64, 0.997],
      [96, 0.999],
      [128, 0.999],
    ]);
    return table<[number]>(
      [
        ["D10, µm", "1.795", 0.1],
        ["D50, µm", "11.64", 0.5],
        ["D90, µm", "30.96", 0.9],
      ],
      (fraction) => sizeAt(curve, fraction),
    );
  },
};

/** The two sides of a published target band, as curves. */
const testDust: CheckGroup = {
  topic,
  kind: "computed",
  source: {
    short: "ISO 12103-1, A1",
    full: "ISO 12103-1, grade A1 (ultrafine test dust): limits as repeated on a supplier's page; the percentiles they allow are this project's arithmetic.",
    reading: "second-hand",
  },
  checks: () => {
    const sizes = [0.97, 1.38, 2.75, 5.5, 11, 22];
    const side = (percent: readonly number[]) =>
      curveThrough(sizes.map((x, i): [number, number] => [x, (percent[i] ?? 0) / 100]));
    const least = side([3, 7, 23, 65, 95.5, 100]);
    const most = side([5, 10, 27, 69, 97.5, 100]);
    return table<[Curve, number]>(
      [
        ["finest D10 allowed, µm", "1.38", most, 0.1],
        ["coarsest D10 allowed, µm", "1.57", least, 0.1],
        ["finest D50 allowed, µm", "4.02", most, 0.5],
        ["coarsest D50 allowed, µm", "4.29", least, 0.5],
        ["finest D90 allowed, µm", "9.17", most, 0.9],
        ["coarsest D90 allowed, µm", "9.71", least, 0.9],
      ],
      sizeAt,
    );
  },
};

export const referencePowders: readonly CheckGroup[] = [leftOut, quartzMedian, cement, testDust];
