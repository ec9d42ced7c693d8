export const sumLow = 0.994;
export const sumHigh = 1.006;
const quietDrop = 0.0005;

/** Whether values add to a whole, as shares class by class do. */
export function addsToWhole(values: readonly number[]): boolean {
  const sum = values.reduce((a, b) => a + b, 0);
  return [1, 100].some((whole) => sum >= sumLow * whole && sum <= sumHigh * whole);
}

/** Which way values run with size, where they run only one way and get anywhere. */
export function courseOf(values: readonly number[]): "undersize" | "oversize" | null {
  const high = Math.max(...values);
  const reach = high > 1.005 ? 100 : 1;
  const steps = values.slice(1).map((v, i) => v - (values[i] ?? v));
  // What does not get half way, or never moves, is no curve one would call cumulative.
  if (values.length < 3 || !(high >= 0.5 * reach) || high === Math.min(...values)) return null;
  if (steps.every((d) => d >= -quietDrop * reach)) return "undersize";
  return steps.every((d) => d <= quietDrop * reach) ? "oversize" : null;
}

/** Whether the largest value is about 1 or 100, as the end of a cumulative curve is. */
export function reachesWhole(values: readonly number[]): boolean {
  const high = Math.max(...values);
  return Math.abs(high - 1) <= 0.006 || Math.abs(high - 100) <= 0.6;
}
