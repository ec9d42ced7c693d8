import { curveOf, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { arithmeticMeanUm, geometricMeanUm, standardDeviationUm } from "#distributions/moments.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { span } from "#distributions/span.ts";
import type { Measure, Tolerance, WholeSet } from "../check.ts";
import { readRows } from "../readFile.ts";

/** Class values at upper edges; the edge below the first continues the series. */
function distributionOf(row: Record<string, string>): SizeDistribution {
  const columns = Object.keys(row).filter((name) => name.startsWith("q_le_"));
  const upperUm = columns.map((name) => Number(name.slice("q_le_".length)));
  const lowerUm = [(upperUm[0] ?? 0) ** 2 / (upperUm[1] ?? 1), ...upperUm.slice(0, -1)];
  const values = columns.map((name) => Number(row[name]));
  const sum = values.reduce((a, b) => a + b, 0);
  const shares = values.map((v) => v / sum);
  return sizeDistribution({ quantity: "volume", inClass: "geometric-mid", lowerUm, upperUm, shares });
}

const sharesAreRounded =
  "The published shares are rounded to 0.001 %, so that cumulated they leave the laboratory's own curve by up to 0.010 points; where the curve is nearly level that moves a percentile by more than the ratio asked. The curve itself, read at the printed percentiles, stays within 0.010 points in every row.";

const percentiles = [
  ["D10", 0.1, "pub_D10_um", 3e-4],
  ["D50", 0.5, "pub_D50_um", 1e-4],
  ["D90", 0.9, "pub_D90_um", 1e-4],
] as const;

const ratio = (atMost: number): Tolerance => ({ by: "ratio", atMost });

function measures(path: string, withoutExcuse: readonly string[]): readonly Measure[] {
  const rows = readRows(path).map((row) => {
    const m = distributionOf(row);
    return { row, m, curve: curveOf(m) };
  });
  const over = (
    column: string,
    ours: (of: (typeof rows)[number]) => number | null,
    published = (of: (typeof rows)[number]) => Number(of.row[column]),
  ) =>
    rows.map((of) => ({
      name: of.row["sample"] ?? "",
      published: published(of),
      ours: ours(of) ?? Number.NaN,
    }));
  return [
    ...percentiles.map(
      ([name, fraction, column]): Measure => ({
        quantity: `share finer than the printed ${name}`,
        tolerance: { by: "difference", atMost: 1e-4 },
        rows: over(
          column,
          ({ curve, row }) => undersizeAt(curve, Number(row[column])),
          () => fraction,
        ),
      }),
    ),
    ...percentiles.map(
      ([name, fraction, column, atMost]): Measure => ({
        quantity: `${name}, µm`,
        tolerance: ratio(atMost),
        rows: over(column, ({ curve }) => sizeAt(curve, fraction)),
        ...(withoutExcuse.includes(name) ? {} : { differs: sharesAreRounded }),
      }),
    ),
    {
      quantity: "mean, µm",
      tolerance: ratio(1.5e-4),
      rows: over("pub_mean_um", ({ m }) => arithmeticMeanUm(m)),
    },
    {
      quantity: "standard deviation, µm",
      tolerance: ratio(2e-4),
      rows: over("pub_sd_um", ({ m }) => standardDeviationUm(m)),
    },
    {
      quantity: "geometric mean, µm",
      tolerance: ratio(3e-4),
      rows: over("pub_geomean_um", ({ m }) => geometricMeanUm(m)),
    },
    { quantity: "span", tolerance: ratio(3e-4), rows: over("pub_span", ({ curve }) => span(curve)) },
  ];
}

const convention =
  "class values at upper edges, percentiles straight in ln size, means at geometric mids, population standard deviation";

export const sediments: readonly WholeSet[] = [
  {
    source: {
      short: "Putslaagte sediments",
      full: "B. Marwick, Particle-size-analysis-Putslaagte-1, commit c80f4ea, CC0 (A. Mackay et al. 2014, Quaternary International, doi 10.1016/j.quaint.2014.05.007): 450 laser measurements with the laboratory's own statistics.",
      reading: "read",
    },
    kind: "printed",
    needs: "open/pl1_putslaagte/tidy_wide.csv",
    convention,
    measures: (path) => measures(path, ["D90"]),
  },
  {
    source: {
      short: "Madjedbebe sediments",
      full: "B. Marwick et al., mjbnaturepaper, commit 24da2df, CC0 (C. Clarkson et al. 2017, Nature): 972 laser measurements with the laboratory's own statistics.",
      reading: "read",
    },
    kind: "printed",
    needs: "open/mjb_sw/tidy_wide.csv",
    convention,
    measures: (path) => measures(path, []),
  },
];
