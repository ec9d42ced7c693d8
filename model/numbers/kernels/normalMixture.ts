/** Normal laws side by side: three lists of one length, the weights add to 1. */
export interface NormalMixture {
  readonly weights: readonly number[];
  readonly means: readonly number[];
  readonly sds: readonly number[];
}

/** The chance of a value at most y, Σ w·Φ((y − m)/s), with the Φ that is given. */
export function chanceWith(
  { weights, means, sds }: NormalMixture,
  y: number,
  normalCdf: (z: number) => number,
): number {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) sum += weights[k] * normalCdf((y - means[k]) / sds[k]);
  return sum;
}

/** The density at y, Σ w·φ((y − m)/s)/s. */
export function densityAt({ weights, means, sds }: NormalMixture, y: number): number {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) {
    const z = (y - means[k]) / sds[k];
    sum += (weights[k] * Math.exp(-0.5 * z * z)) / sds[k];
  }
  return sum / Math.sqrt(2 * Math.PI);
}

/** Each component's mean, moved by z of its own standard deviations. */
export function movedBy({ means, sds }: NormalMixture, z: number): number[] {
  return means.map((mean, k) => mean + z * sds[k]);
}

/** Mean of the means and of the standard deviations. */
export function middleOf({ weights, means, sds }: NormalMixture): { mean: number; sd: number } {
  let mean = 0;
  let sd = 0;
  for (let k = 0; k < weights.length; k++) {
    mean += weights[k] * means[k];
    sd += weights[k] * sds[k];
  }
  return { mean, sd };
}

/** A function told at even steps from the left end, straight between; the last value beyond the right end, 0 before the left. */
export function readFrom(table: Float64Array, left: number, steps: number): (z: number) => number {
  const last = table.length - 1;
  return (z) => {
    const at = (z - left) * steps;
    if (at <= 0) return 0;
    if (at >= last) return table[last];
    const i = Math.floor(at);
    return table[i] + (table[i + 1] - table[i]) * (at - i);
  };
}
