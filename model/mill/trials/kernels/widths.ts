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

/** Means a + b·e, variances s² + 2·c·e + q·e². */
export function widthGiven(
  { weights, means, sds }: Mixture,
  { middle, slopes, crosses, squares }: ByD50,
  y: number,
): Mixture {
  const e = y - middle;
  const count = weights.length;
  const moved = new Array<number>(count);
  const spread = new Array<number>(count);
  for (let k = 0; k < count; k++) {
    moved[k] = means[k] + slopes[k] * e;
    spread[k] = Math.sqrt(Math.max(sds[k] * sds[k] + 2 * crosses[k] * e + squares[k] * e * e, 1e-18));
  }
  return { weights, means: moved, sds: spread };
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
