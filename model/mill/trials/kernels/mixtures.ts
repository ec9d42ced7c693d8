/** Lists of one length, a place a component. */
interface Mixture {
  readonly weights: ArrayLike<number>;
  readonly means: ArrayLike<number>;
  readonly sds: ArrayLike<number>;
}

interface Lists {
  readonly weights: number[];
  readonly means: number[];
  readonly sds: number[];
}

/** Every pair of components: weights multiplied, means and variances added. */
export function pairs(a: Mixture, b: Mixture): Lists {
  const weights: number[] = [];
  const means: number[] = [];
  const sds: number[] = [];
  for (let i = 0; i < a.weights.length; i++)
    for (let j = 0; j < b.weights.length; j++) {
      weights.push(a.weights[i] * b.weights[j]);
      means.push(a.means[i] + b.means[j]);
      sds.push(Math.sqrt(a.sds[i] ** 2 + b.sds[j] ** 2));
    }
  return { weights, means, sds };
}

/** Places in rising order of their values. */
export function risingOrder(values: ArrayLike<number>): number[] {
  return Array.from(values, (_, i) => i).sort((i, j) => values[i] - values[j]);
}

/** The members at some places. */
export function picked<T>(list: ArrayLike<T>, places: readonly number[]): T[] {
  return places.map((i) => list[i]);
}

/** Each group as one component with the group's weight, mean and variance; groups without weight are left out. */
export function mergedGroups(p: Mixture, groups: readonly (readonly number[])[]): Lists {
  const merged: Lists = { weights: [], means: [], sds: [] };
  for (const group of groups) {
    let weight = 0;
    let mean = 0;
    let square = 0;
    for (const i of group) {
      const w = p.weights[i];
      weight += w;
      mean += w * p.means[i];
      square += w * (p.sds[i] ** 2 + p.means[i] ** 2);
    }
    if (!(weight > 0)) continue;
    merged.weights.push(weight);
    merged.means.push(mean / weight);
    merged.sds.push(Math.sqrt(Math.max(square / weight - (mean / weight) ** 2, 0)));
  }
  return merged;
}

/** Σ wₖ·xₖ over lists of one length. */
export function weightedMean(weights: ArrayLike<number>, lists: readonly ArrayLike<number>[]): Float64Array {
  const mean = new Float64Array(lists[0].length);
  for (let k = 0; k < lists.length; k++)
    for (let a = 0; a < mean.length; a++) mean[a] += weights[k] * lists[k][a];
  return mean;
}

/** The covariance of a mixture about its mean: Σ wₖ·(Σₖ + (mₖ − m)(mₖ − m)ᵀ). */
export function weightedCovariance(
  weights: ArrayLike<number>,
  parts: readonly { readonly mean: ArrayLike<number>; readonly covariance: readonly ArrayLike<number>[] }[],
  mean: Float64Array,
): Float64Array[] {
  return Array.from(mean, (_, a) =>
    mean.map((__, b) => {
      let sum = 0;
      for (let k = 0; k < parts.length; k++) {
        const { mean: own, covariance } = parts[k];
        sum += weights[k] * (covariance[a][b] + (own[a] - mean[a]) * (own[b] - mean[b]));
      }
      return sum;
    }),
  );
}
