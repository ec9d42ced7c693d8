interface Mixture {
  readonly weights: readonly number[];
  readonly means: readonly number[];
  readonly sds: readonly number[];
}

/** How each component hangs on ln D50 less its middle. */
interface ByD50 {
  readonly middle: number;
  readonly slopes: readonly number[];
  readonly crosses: readonly number[];
  readonly squares: readonly number[];
}

export function middleAndVariance({ weights, means, sds }: Mixture): { mean: number; variance: number } {
  let mean = 0;
  let square = 0;
  for (let k = 0; k < weights.length; k++) {
    mean += weights[k] * means[k];
    square += weights[k] * (means[k] * means[k] + sds[k] * sds[k]);
  }
  return { mean, variance: Math.max(square - mean * mean, 0) };
}

/** A possible noise with its weight, and the coefficients under it; the last one is of the run's own departure. */
interface WidthComponent {
  readonly weight: number;
  readonly sigma: number;
  readonly mean: ArrayLike<number>;
  readonly covariance: readonly ArrayLike<number>[];
}

interface WidthLists extends Mixture {
  readonly slopes: readonly number[];
  readonly crosses: readonly number[];
  readonly squares: readonly number[];
}

/**
 * A width's law at a row of factors without departure, and how it moves with ln D50: of a departure the part `part` moves
 * it, and what else of it is hidden, a variance, widens it.
 */
export function widthsAtRow(
  components: readonly WidthComponent[],
  row: readonly number[],
  { part, hidden }: { readonly part: number; readonly hidden: number },
): WidthLists {
  const count = components.length;
  const last = row.length;
  const list = () => new Array<number>(count);
  const [weights, means, sds, slopes, crosses, squares] = [list(), list(), list(), list(), list(), list()];
  for (let k = 0; k < count; k++) {
    const { weight, sigma, mean, covariance } = components[k];
    const slope = mean[last];
    const square = covariance[last][last];
    let middle = 0;
    let cross = 0;
    let variance = 0;
    for (let a = 0; a < last; a++) {
      const line = covariance[a];
      middle += row[a] * mean[a];
      cross += row[a] * line[last];
      let sum = 0;
      for (let b = 0; b < last; b++) sum += line[b] * row[b];
      variance += row[a] * sum;
    }
    weights[k] = weight;
    means[k] = middle;
    sds[k] = Math.sqrt(sigma * sigma + variance + (square + slope * slope) * hidden);
    slopes[k] = slope * part;
    crosses[k] = cross * part;
    squares[k] = square * part * part;
  }
  return { weights, means, sds, slopes, crosses, squares };
}

/** y ± width over all pairs: mean m ± (a + b(m − middle)), variance (1 ± b)²s² + the width's own, averaged over y. */
export function sumWithWidth(d50: Mixture, width: Mixture, by: ByD50 | null, side: number): Mixture {
  const weights: number[] = [];
  const means: number[] = [];
  const sds: number[] = [];
  for (let i = 0; i < d50.weights.length; i++)
    for (let j = 0; j < width.weights.length; j++) {
      const variance = d50.sds[i] * d50.sds[i];
      const e = by === null ? 0 : d50.means[i] - by.middle;
      const slope = by === null ? 0 : by.slopes[j];
      const own =
        width.sds[j] * width.sds[j] +
        (by === null ? 0 : 2 * by.crosses[j] * e + by.squares[j] * (e * e + variance));
      weights.push(d50.weights[i] * width.weights[j]);
      means.push(d50.means[i] + side * (width.means[j] + slope * e));
      sds.push(Math.sqrt(Math.max((1 + side * slope) ** 2 * variance + own, 0)));
    }
  return { weights, means, sds };
}
