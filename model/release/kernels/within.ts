/**
 * How many draws lie within limits, a row by itself and all at once.
 *
 * @param draws  of as many numbers a draw as there are rows, one draw after another
 * @returns      a share a row, and behind them the share of all at once: at most the least of them
 */
export function sharesWithin(
  mean: readonly number[],
  root: readonly ArrayLike<number>[],
  draws: Float64Array,
  { low, high }: Pick<Guarded, "low" | "high">,
): number[] {
  const rows = mean.length;
  const count = draws.length / rows;
  const held = new Array<number>(rows + 1).fill(0);
  for (let at = 0; at < draws.length; at += rows) {
    let all = 1;
    for (let i = 0; i < rows; i++) {
      let value = mean[i];
      for (let j = 0; j <= i; j++) value += root[i][j] * draws[at + j];
      if (value >= low[i] && value <= high[i]) held[i]++;
      else all = 0;
    }
    held[rows] += all;
  }
  return held.map((h) => h / count);
}

/** Lots of a process and how one measuring of each errs, by their roots. */
export interface DrawnLots {
  readonly mean: readonly number[];
  readonly lotRoot: readonly ArrayLike<number>[];
  readonly errorRoot: readonly ArrayLike<number>[];
}

/** The ends of what is allowed, and how far inside them a value must lie. */
export interface Guarded {
  readonly low: readonly number[];
  readonly high: readonly number[];
  readonly guard: readonly number[];
}

/** What a rule does with lots of a process, as shares of all lots. */
export interface SharesOfRule {
  readonly good: number;
  readonly released: number;
  readonly releasedThoughOut: number;
  readonly heldThoughGood: number;
  readonly undecided: number;
}

/**
 * Lots drawn from a process, each measured once, under a rule that releases where value ± guard lies within the limits
 * and, where it may stay undecided, holds only where value ± guard lies outside one of them.
 *
 * @param draws  of twice as many numbers a draw as there are rows: the lot's own, then the measurement's
 */
export function sharesOfRule(
  { mean, lotRoot, errorRoot }: DrawnLots,
  draws: Float64Array,
  { low, high, guard }: Guarded,
  mayStayUndecided: boolean,
): SharesOfRule {
  const rows = mean.length;
  const count = draws.length / (2 * rows);
  const shares = { good: 0, released: 0, releasedThoughOut: 0, heldThoughGood: 0, undecided: 0 };
  for (let at = 0; at < draws.length; at += 2 * rows) {
    let isGood = true;
    let isReleased = true;
    let isSurelyOut = false;
    for (let i = 0; i < rows; i++) {
      let truth = mean[i];
      for (let j = 0; j <= i; j++) truth += lotRoot[i][j] * draws[at + j];
      let seen = truth;
      for (let j = 0; j <= i; j++) seen += errorRoot[i][j] * draws[at + rows + j];
      if (truth < low[i] || truth > high[i]) isGood = false;
      if (seen - guard[i] < low[i] || seen + guard[i] > high[i]) isReleased = false;
      if (seen + guard[i] < low[i] || seen - guard[i] > high[i]) isSurelyOut = true;
    }
    const isHeld = mayStayUndecided ? isSurelyOut : !isReleased;
    if (isGood) shares.good += 1 / count;
    if (isReleased) shares.released += 1 / count;
    if (isReleased && !isGood) shares.releasedThoughOut += 1 / count;
    if (isHeld && isGood) shares.heldThoughGood += 1 / count;
    if (!isReleased && !isHeld) shares.undecided += 1 / count;
  }
  return shares;
}

/** Cross products of rows of values about their own means. */
export function crossProducts(values: readonly (readonly number[])[]): number[][] {
  const rows = values[0].length;
  const mean = meanOf(values);
  const products = Array.from({ length: rows }, () => new Array<number>(rows).fill(0));
  for (const value of values)
    for (let a = 0; a < rows; a++)
      for (let b = 0; b < rows; b++) products[a][b] += (value[a] - mean[a]) * (value[b] - mean[b]);
  return products;
}

/** @param values  at least one */
export function meanOf(values: readonly (readonly number[])[]): number[] {
  return values[0].map((_, i) => {
    let sum = 0;
    for (const value of values) sum += value[i];
    return sum / values.length;
  });
}

/** Σ weight·matrix, all of one size. */
export function weighted(
  terms: readonly (readonly [weight: number, matrix: readonly (readonly number[])[]])[],
): number[][] {
  return terms[0][1].map((row, a) =>
    row.map((_, b) => {
      let sum = 0;
      for (const [weight, matrix] of terms) sum += weight * matrix[a][b];
      return sum;
    }),
  );
}

export function diagonal(values: readonly number[]): number[][] {
  return values.map((v, a) => values.map((_, b) => (a === b ? v : 0)));
}

/** A·x. */
export function times(matrix: readonly ArrayLike<number>[], x: ArrayLike<number>): number[] {
  return matrix.map((row) => {
    let sum = 0;
    for (let i = 0; i < row.length; i++) sum += row[i] * x[i];
    return sum;
  });
}
