import { itemAt } from "#distributions/lists.ts";
import { cholesky, inverseFrom } from "#model/numbers/cholesky.ts";
import { type Limits, scaleQuantiles } from "#model/numbers/jointChance.ts";
import { type Conformance, conformance, type DrawsFor, freshDraws, minDegrees } from "./chanceFromRuns.ts";
import { crossProducts, diagonal, meanOf, times, weighted } from "./kernels/within.ts";
import type { LotMean, Matrix } from "./scatter.ts";

/** What the kept lots of a ground say of the lots to come. */
export interface Process {
  readonly lots: number;
  readonly mean: readonly number[];
  /** Of the lots' measured means: lots and measuring together. */
  readonly ofMeans: Matrix;
  /** Of the lots' own values, without the measuring. */
  readonly ofLots: Matrix;
  /** The means of the last four lots, averaged. */
  readonly recent: readonly number[];
}

const minLots = 8;
const lotsPerRow = 3;
const recentLots = 4;

/** How often a lot of the process is said to contradict it, and how often the last four are. */
const falseAlarms = 0.05;

/** A lot spread that the measuring hides is taken for this part of what was seen, never for none. */
const leastLotPart = 0.25;

/**
 * Lots of a process are given so many times the variance that was found, since few lots show it and the lot judged may not
 * be one of them: with twice it, lots from anywhere that do not contradict the process were said up to 2.4 points too much of.
 */
const variances = 4;

/** How many kept lots a process of so many judged rows needs. */
export function lotsNeeded(rows: number): number {
  return Math.max(minLots, lotsPerRow * rows);
}

/**
 * @param kept  the means of the kept lots, oldest first, without the lot that is judged
 * @returns     null where they are too few
 */
export function processOf(kept: readonly LotMean[]): Process | null {
  const rows = kept[0]?.mean.length ?? 0;
  if (rows === 0 || kept.length < lotsNeeded(rows)) return null;
  const means = kept.map((lot) => lot.mean);
  const ofMeans = weighted([[1 / (kept.length - 1), crossProducts(means)]]);
  const measuring = weighted(kept.map((lot) => [1 / kept.length, lot.covariance]));
  const left = weighted([
    [1, ofMeans],
    [-1, measuring],
  ]);
  const least = weighted([[leastLotPart, ofMeans]]);
  return {
    lots: kept.length,
    mean: meanOf(means),
    ofMeans,
    ofLots: cholesky(atLeast(left, least)) === null ? least : atLeast(left, least),
    recent: meanOf(means.slice(-recentLots)),
  };
}

/** Why the process says nothing of a lot; null where it does. */
export type Contradiction = "this lot" | "the last four lots" | null;

/**
 * Whether a lot, or the last four before it, lies where lots of the process seldom do.
 * Each is asked at 5 %: χ² of the squared distance over the covariance of the lots' means.
 */
export function contradiction(usual: Process, lot: LotMean): Contradiction {
  const { lots, mean, ofMeans, recent } = usual;
  const lower = cholesky(ofMeans);
  if (lower === null) return "this lot";
  const allowed = mean.length * scaleQuantiles(mean.length)(1 - falseAlarms) ** 2;
  const inverse = inverseFrom(lower);
  const squared = (value: readonly number[], scale: number) => {
    const away = value.map((v, i) => v - itemAt(mean, i));
    const turned = times(inverse, away);
    return away.reduce((sum, v, i) => sum + v * itemAt(turned, i), 0) / scale;
  };
  if (squared(lot.mean, 1 + 1 / lots) > allowed) return "this lot";
  // The last four are among those the mean is of.
  return squared(recent, 1 / recentLots - 1 / lots) > allowed ? "the last four lots" : null;
}

/**
 * If the process is as it was: these runs and the process's own lots weighed against each other. The lot covariance is
 * shrunk to its diagonal and quadrupled, and the error of the process mean is added, so that the figure says less rather than more.
 *
 * @returns null below ten degrees of freedom
 * Source: normal posterior of a lot of a known process; shrinking and quadrupling ours, simulated; docs/science.md.
 */
export function ifProcessIsAsItWas(
  lot: LotMean,
  usual: Process,
  limits: readonly Limits[],
  drawsFor: DrawsFor = freshDraws,
): Conformance | null {
  if (lot.degrees < minDegrees) return null;
  const prior = weighted([
    [1, diagonal(usual.ofLots.map((row, i) => variances * itemAt(row, i)))],
    [1 / usual.lots, usual.ofMeans],
  ]);
  const lower = cholesky(
    weighted([
      [1, prior],
      [1, lot.covariance],
    ]),
  );
  if (lower === null) return null;
  const inverse = inverseFrom(lower);
  const away = lot.mean.map((v, i) => v - itemAt(usual.mean, i));
  const pulled = times(prior, times(inverse, away));
  const mean = usual.mean.map((v, i) => v + itemAt(pulled, i));
  const taught = prior.map((row) => times(prior, times(inverse, row)));
  const covariance = weighted([
    [1, prior],
    [-1, taught],
  ]);
  return conformance(mean, covariance, limits, drawsFor(limits.length, lot.degrees));
}

/** A matrix whose diagonal is at least that of another. */
function atLeast(matrix: Matrix, least: Matrix): number[][] {
  return matrix.map((row, a) => row.map((v, b) => (a === b ? Math.max(v, itemAt(itemAt(least, a), b)) : v)));
}
