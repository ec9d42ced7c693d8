import { readFileSync } from "node:fs";
import { type Curve, curveOf, meanCurve } from "#distributions/curve.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import {
  type NamedMeasurement,
  type Quantity,
  type SizeDistribution,
  sizeDistribution,
} from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";

export const densityGPerCm3 = 4.55;

export function sample(path: string): string {
  return readFileSync(new URL(`../../distributions/samples/${path}`, import.meta.url), "utf8");
}

export function runsOf(path: string): readonly NamedMeasurement[] {
  return readTable(sample(path), path, {}).measurements;
}

/** Runs of a stage of a lot of the demo: lotRuns("07", "milled"). */
export function lotRuns(lot: string, stage = "re-fired"): readonly NamedMeasurement[] {
  return runsOf(`lots/garnet-${lot}/${stage}.csv`);
}

export function curveOfRuns(runs: readonly NamedMeasurement[]): Curve {
  return meanCurve(runs.map((run) => curveOf(run.distribution)));
}

const edges = Array.from({ length: 61 }, (_, i) => 0.1 * 1000 ** (i / 60));

/** A log-normal powder on sixty classes from 0.1 to 100 µm. */
export function powder(medianUm: number, name = "run 1", gsd = 1.6): NamedMeasurement {
  const q = edges.map((x) => logNormal.cdf({ medianUm, gsd }, x));
  return named(classes(q), name);
}

/** Two log-normal powders in one. */
export function twoHumps(name: string, apart = 6): NamedMeasurement {
  const q = edges.map(
    (x) =>
      0.7 * logNormal.cdf({ medianUm: 1, gsd: 1.4 }, x) +
      0.3 * logNormal.cdf({ medianUm: apart, gsd: 1.4 }, x),
  );
  return named(classes(q), name);
}

/** Some runs about a median, evenly apart. */
export function lot(medianUm: number, apartUm: number, count = 3, gsd = 1.6): NamedMeasurement[] {
  return Array.from({ length: count }, (_, i) =>
    powder(medianUm + apartUm * (i - (count - 1) / 2), `run ${i + 1}`, gsd),
  );
}

/** Three coarse classes with powder below and above them. */
export function open(quantity: Quantity = "volume", name = "run 1"): NamedMeasurement {
  return named(
    sizeDistribution({
      quantity,
      measuredAs: quantity,
      lowerUm: [1, 2, 4],
      upperUm: [2, 4, 8],
      shares: [0.3, 0.4, 0.07],
      belowShare: 0.12,
      aboveShare: 0.11,
    }),
    name,
  );
}

/** Three classes that hold all of the powder. */
export function closed(quantity: Quantity = "volume", name = "run 1"): NamedMeasurement {
  return named(
    sizeDistribution({
      quantity,
      measuredAs: quantity,
      lowerUm: [1, 2, 4],
      upperUm: [2, 4, 8],
      shares: [0.25, 0.5, 0.25],
    }),
    name,
  );
}

function classes(undersize: readonly number[]): SizeDistribution {
  const raw = undersize.slice(1).map((v, i) => v - (undersize[i] ?? 0));
  const sum = raw.reduce((a, b) => a + b, 0);
  return sizeDistribution({
    quantity: "volume",
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares: raw.map((v) => v / sum),
  });
}

function named(distribution: SizeDistribution, name: string): NamedMeasurement {
  return { file: "runs.csv", name, distribution };
}
