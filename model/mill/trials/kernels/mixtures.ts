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
  const [many, others] = [a.weights.length, b.weights.length];
  const lists = emptyLists(many * others);
  for (let i = 0; i < many; i++)
    for (let j = 0; j < others; j++) {
      const at = i * others + j;
      lists.weights[at] = a.weights[i] * b.weights[j];
      lists.means[at] = a.means[i] + b.means[j];
      lists.sds[at] = Math.sqrt(a.sds[i] * a.sds[i] + b.sds[j] * b.sds[j]);
    }
  return lists;
}

/** Each value of a list so many times, one after another. */
export function repeated(values: ArrayLike<number>, times: number): number[] {
  const list = new Array<number>(values.length * times);
  for (let i = 0; i < list.length; i++) list[i] = values[Math.floor(i / times)];
  return list;
}

/** A law in coefficients as mixture at a row of factors: means β·x, variances xᵀΣx, and the noise's σ² where it counts. */
export function mixtureAtRow(
  components: readonly {
    readonly weight: number;
    readonly sigma: number;
    readonly mean: ArrayLike<number>;
    readonly covariance: readonly ArrayLike<number>[];
  }[],
  row: readonly number[],
  withNoise: boolean,
): Lists {
  const lists = emptyLists(components.length);
  for (let k = 0; k < components.length; k++) {
    const { weight, sigma, mean, covariance } = components[k];
    let middle = 0;
    let variance = 0;
    for (let a = 0; a < row.length; a++) {
      middle += row[a] * mean[a];
      const line = covariance[a];
      let sum = 0;
      for (let b = 0; b < row.length; b++) sum += line[b] * row[b];
      variance += row[a] * sum;
    }
    lists.weights[k] = weight;
    lists.means[k] = middle;
    lists.sds[k] = Math.sqrt((withNoise ? sigma * sigma : 0) + variance);
  }
  return lists;
}

function emptyLists(count: number): Lists {
  return {
    weights: new Array<number>(count),
    means: new Array<number>(count),
    sds: new Array<number>(count),
  };
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
