import { maxOf, minOf } from "#distributions/lists.ts";
export const sumLow = 0.994;
export const sumHigh = 1.006;
const quietDrop = 0.0005;
/** A fall of more than this of the value itself is none that rounding makes, but for one of its last decimal. */
const maxOfValue = 0.02;

/** Whether values add to a whole, as shares class by class do. */
export function addsToWhole(values: readonly number[]): boolean {
  const sum = values.reduce((a, b) => a + b, 0);
  return [1, 100].some((whole) => sum >= sumLow * whole && sum <= sumHigh * whole);
}

/** Which way values run with size, where they run only one way and get anywhere. */
export function courseOf(values: readonly number[]): "undersize" | "oversize" | null {
  const high = maxOf(values);
  const reach = high > 1.005 ? 100 : 1;
  // What does not get half way, or never moves, is no curve one would call cumulative.
  if (values.length < 3 || !(high >= 0.5 * reach) || high === minOf(values)) return null;
  let lastDecimal: number | null = null;
  const isRounding = (against: number, least: number) => {
    if (against <= 0) return true;
    if (against > quietDrop * reach) return false;
    if (against <= maxOfValue * least) return true;
    lastDecimal ??= 10 ** -maxOf(values.map(decimalsOf));
    return against <= 1.5 * lastDecimal;
  };
  const runs = (way: 1 | -1) =>
    values.every((v, i) => {
      const before = values[i - 1] ?? v;
      return isRounding(way * (before - v), Math.min(v, before));
    });
  if (runs(1)) return "undersize";
  return runs(-1) ? "oversize" : null;
}

/** With how many decimals a number is written at least. */
function decimalsOf(value: number): number {
  const [plain = "", power = "0"] = String(value).split("e");
  return Math.max(0, (plain.split(".")[1] ?? "").length - Number(power));
}

/** Whether the largest value is about 1 or 100, as the end of a cumulative curve is. */
export function reachesWhole(values: readonly number[]): boolean {
  const high = maxOf(values);
  return Math.abs(high - 1) <= 0.006 || Math.abs(high - 100) <= 0.6;
}
