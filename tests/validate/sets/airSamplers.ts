import { logNormal } from "#distributions/families/logNormal.ts";
import type { Measure, WholeSet } from "../check.ts";
import { readRows } from "../readFile.ts";

/** Two modes of mass, µg/m³, median µm and GSD: fine, then coarse. */
type Modes = readonly [fine: readonly [number, number, number], coarse: readonly [number, number, number]];

const tables: readonly {
  readonly name: string;
  readonly column: string;
  readonly modes: Modes;
  readonly printedTotal: number;
  readonly totalDiffers?: string;
}[] = [
  {
    name: "F-4",
    column: "F4",
    modes: [
      [12, 0.5, 2],
      [88, 10, 2],
    ],
    printedTotal: 13.814,
  },
  {
    name: "F-5",
    column: "F5",
    modes: [
      [33.3, 0.5, 2],
      [66.7, 10, 2],
    ],
    printedTotal: 34.284,
  },
  {
    name: "F-6",
    column: "F6",
    modes: [
      [85, 0.85, 2],
      [15, 15, 2],
    ],
    printedTotal: 78.539,
  },
];

function massBelow(modes: Modes, sizeUm: number): number {
  return modes.reduce(
    (sum, [mass, medianUm, gsd]) => sum + mass * logNormal.cdf({ medianUm, gsd }, sizeUm),
    0,
  );
}

/** The first row holds everything below 0.5 µm, the second goes on from there; the others reach 0.0625 µm to both sides. */
function intervalOf(row: number, printedUm: string): readonly [number, number] {
  const nominal = printedUm === "1.675" ? 1.625 : Number(printedUm);
  if (row === 0) return [0, nominal];
  return [row === 1 ? 0.5 : nominal - 0.0625, nominal + 0.0625];
}

export const airSamplers: WholeSet = {
  source: {
    short: "40 CFR 53, F-4 to F-6",
    full: "US Code of Federal Regulations, title 40, part 53, subpart F, tables F-4 to F-6: masses of idealised aerosols. Table F-3 with the modes could not be read: their round parameters, six a table, were recovered from the printed masses.",
    reading: "read",
  },
  kind: "printed",
  needs: "published/E_40cfr53_tables_F4_F5_F6.csv",
  convention:
    "two log-normal modes by mass; the size printed 1.675 is taken as 1.625, which its neighbours ask for",
  measures: (path) => {
    const rows = readRows(path).map((row, i) => {
      const size = row["upper_or_nominal_aero_diam_um"] ?? "";
      return { row, size, interval: intervalOf(i, size), effectiveness: Number(row["ideal_effectiveness"]) };
    });
    const massIn = (modes: Modes, [from, to]: readonly [number, number]) =>
      massBelow(modes, to) - massBelow(modes, from);
    return [
      ...tables.flatMap(({ name, column, modes }): Measure[] => [
        {
          quantity: `${name}: mass in an interval, µg/m³`,
          tolerance: { by: "difference", atMost: 6e-4 },
          rows: rows.map(({ row, size, interval }) => ({
            name: `${size} µm`,
            published: Number(row[`${column}_interval_mass`]),
            ours: massIn(modes, interval),
          })),
        },
        {
          quantity: `${name}: mass that an ideal sampler takes, µg/m³`,
          // The printed effectiveness has three decimals: up to half a unit of it times the mass, beside the last digit.
          tolerance: { by: "difference", atMost: 1e-3 },
          rows: rows.map(({ row, size, interval, effectiveness }) => ({
            name: `${size} µm`,
            published: Number(row[`${column}_est_mass`]),
            ours: effectiveness * massIn(modes, interval),
          })),
        },
      ]),
      {
        quantity: "total that an ideal sampler takes, µg/m³",
        tolerance: { by: "difference", atMost: 5e-3 },
        rows: tables.map(({ name, modes, printedTotal }) => ({
          name,
          published: printedTotal,
          ours: rows.reduce(
            (sum, { interval, effectiveness }) => sum + effectiveness * massIn(modes, interval),
            0,
          ),
        })),
      },
    ];
  },
};
