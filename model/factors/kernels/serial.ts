/**
 * The farthest that the exponentially weighted mean comes from the mean of all, in its own SDs, which rest on the mean
 * moving range.
 *
 * @param meanSds  standard deviation of the weighted mean after each value, in those of a single one
 * @param toSigma  what turns a mean moving range into a standard deviation
 */
export function farthestMean(
  values: Float64Array,
  { weight, meanSds, toSigma }: { weight: number; meanSds: Float64Array; toSigma: number },
): number {
  const count = values.length;
  let [sum, ranges] = [0, 0];
  for (let i = 0; i < count; i++) {
    sum += values[i];
    if (i > 0) ranges += Math.abs(values[i] - values[i - 1]);
  }
  const middle = sum / count;
  let [smoothed, farthest] = [0, 0];
  for (let i = 0; i < count; i++) {
    smoothed += weight * (values[i] - middle - smoothed);
    farthest = Math.max(farthest, Math.abs(smoothed) / meanSds[i]);
  }
  return farthest / ((ranges / (count - 1)) * toSigma);
}

/** The farthest that a value lies from the mean of all, in mean moving ranges times `toSigma`. */
export function farthestSingle(values: Float64Array, toSigma: number): number {
  const count = values.length;
  let [sum, ranges, farthest] = [0, 0, 0];
  for (let i = 0; i < count; i++) {
    sum += values[i];
    if (i > 0) ranges += Math.abs(values[i] - values[i - 1]);
  }
  for (let i = 0; i < count; i++) farthest = Math.max(farthest, Math.abs(values[i] - sum / count));
  return farthest / ((ranges / (count - 1)) * toSigma);
}

/** What is left of values when the step that explains most of them, at least two from either end, is taken off. */
export function withoutStep(values: Float64Array): Float64Array {
  const count = values.length;
  let sum = 0;
  for (let i = 0; i < count; i++) sum += values[i];
  let [before, gain, at, sumBefore] = [0, -1, 0, 0];
  for (let i = 0; i < count - 2; i++) {
    before += values[i];
    const lots = i + 1;
    const own = (before - (lots / count) * sum) ** 2 / (lots * (count - lots));
    if (lots >= 2 && own > gain) [gain, at, sumBefore] = [own, lots, before];
  }
  const [low, high] = [sumBefore / at, (sum - sumBefore) / (count - at)];
  return values.map((v, i) => v - (i < at ? low : high));
}

/** Correlation of each value with the one before; of values whose mean is 0. */
export function correlationWithNext(values: Float64Array): number {
  let [together, squares] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    if (i > 0) together += values[i] * values[i - 1];
    squares += values[i] ** 2;
  }
  return squares > 0 ? together / squares : 0;
}
