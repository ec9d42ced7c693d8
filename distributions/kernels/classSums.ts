/** Each share times a ratio. */
export function timesRatio(
  shares: readonly number[],
  above: readonly number[],
  below: readonly number[],
): number[] {
  const weights = [];
  for (let i = 0; i < shares.length; i++) weights.push((shares[i] * above[i]) / below[i]);
  return weights;
}

/** Σ weight · value over Σ weight. */
export function meanBy(weights: readonly number[], values: readonly number[]): number {
  let sum = 0;
  let whole = 0;
  for (let i = 0; i < weights.length; i++) {
    sum += weights[i] * values[i];
    whole += weights[i];
  }
  return sum / whole;
}
