/** A mixture of normals, as lists of one length. */
interface Mixture {
  readonly weights: readonly number[];
  readonly means: readonly number[];
  readonly sds: readonly number[];
}

/** Φ at steps of 1/perUnit from −reach up to a step above reach. */
interface NormalTable {
  readonly values: Float64Array;
  readonly reach: number;
  readonly perUnit: number;
}

/** The chance of a value below y, straight between the table's steps. */
export function tabledChanceBelow(
  { values, reach, perUnit }: NormalTable,
  { weights, means, sds }: Mixture,
  y: number,
): number {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) {
    const at = ((y - means[k]) / sds[k] + reach) * perUnit;
    if (at <= 0) continue;
    const i = Math.floor(at);
    const isInTable = i + 1 < values.length;
    sum += weights[k] * (isInTable ? values[i] + (values[i + 1] - values[i]) * (at - i) : 1);
  }
  return sum;
}

export function mixtureDensity({ weights, means, sds }: Mixture, y: number): number {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) {
    const z = (y - means[k]) / sds[k];
    if (z * z < 80) sum += (weights[k] * Math.exp(-0.5 * z * z)) / sds[k];
  }
  return sum / Math.sqrt(2 * Math.PI);
}

/** Weighted means of the components' middles and standard deviations. */
export function typicalComponent({ weights, means, sds }: Mixture): { mean: number; sd: number } {
  let mean = 0;
  let sd = 0;
  for (let k = 0; k < weights.length; k++) {
    mean += weights[k] * means[k];
    sd += weights[k] * sds[k];
  }
  return { mean, sd };
}
