import { arithmeticMeanUm, moment, standardDeviationUm } from "#distributions/moments.ts";
import { type SizeDistribution, sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Measure, Tolerance, WholeSet } from "../check.ts";
import { readNumbers } from "../readFile.ts";

/** Central moment over a power of the standard deviation, from the moments about 0. */
function standardised(m: SizeDistribution, order: 3 | 4): number {
  const of = (k: number) => moment(m, k) ?? Number.NaN;
  const mean = of(1);
  const sd = standardDeviationUm(m) ?? Number.NaN;
  return order === 3
    ? (of(3) - 3 * mean * of(2) + 2 * mean ** 3) / sd ** 3
    : (of(4) - 4 * mean * of(3) + 6 * mean ** 2 * of(2) - 3 * mean ** 4) / sd ** 4;
}

/** Limits in mm, which moments do not mind; the classes' small gaps and overlaps are kept. */
export const raindrops: WholeSet = {
  source: {
    short: "Darwin raindrops",
    full: "M. Ignaccolo and C. De Michele, datascience_dsd, commit a5ed509, GPL v3 (J. Hydrometeorology 23, doi 10.1175/JHM-D-21-0211.1): drop counts per minute measured by US NOAA, with published moments.",
    reading: "read",
  },
  kind: "printed",
  needs: "open/rain_darwin",
  convention: "arithmetic mids for the mean, drops spread evenly inside each class for the higher moments",
  measures: (folder) => {
    const [lowerUm = [], upperUm = []] = readNumbers(`${folder}/class_limits_mm.txt`);
    const published = readNumbers(`${folder}/published_moments.txt`);
    const minutes = readNumbers(`${folder}/drop_counts_per_minute.txt`).map((counts) => {
      const drops = counts.reduce((a, b) => a + b, 0);
      const shares = counts.map((n) => n / drops);
      const even = sizeDistribution({ quantity: "number", inClass: "uniform", lowerUm, upperUm, shares });
      return { drops, even, mids: sizeDistribution({ ...even, inClass: "arithmetic-mid" }) };
    });
    if (published.length !== minutes.length)
      throw new Error(`${minutes.length} minutes of counts, but moments of ${published.length}`);
    const over = (
      quantity: string,
      tolerance: Tolerance,
      column: number,
      ours: (minute: (typeof minutes)[number]) => number | null,
    ): Measure => ({
      quantity,
      tolerance,
      rows: minutes.map((minute, i) => ({
        name: `minute ${i + 1}`,
        published: published[i]?.[column] ?? Number.NaN,
        ours: ours(minute) ?? Number.NaN,
      })),
    });
    return [
      over("number of drops", { by: "difference", atMost: 0 }, 0, ({ drops }) => drops),
      over("mean, mm", { by: "ratio", atMost: 1e-12 }, 1, ({ mids }) => arithmeticMeanUm(mids)),
      over("standard deviation, mm", { by: "ratio", atMost: 1e-9 }, 2, ({ even }) =>
        standardDeviationUm(even),
      ),
      over("skewness", { by: "difference", atMost: 1e-9 }, 3, ({ even }) => standardised(even, 3)),
      over("kurtosis", { by: "difference", atMost: 1e-9 }, 4, ({ even }) => standardised(even, 4)),
    ];
  },
};
