/** Where a limit row's marks stand on a strip, in per cent of its length. */
export interface LimitStrip {
  readonly allowedFrom: number;
  readonly allowedTo: number;
  readonly intervalFrom: number | null;
  readonly intervalTo: number | null;
  readonly value: number;
  /** Whether the value lies beyond the strip, at its end. */
  readonly isBeyond: boolean;
}

/**
 * A row of the limits list as a strip: the allowed stretch, the value and its interval.
 * The stretch takes the middle half; a side without a limit runs to the end of the strip.
 *
 * @returns null where there is nothing to place: no value, or no limit on either side
 */
export function limitStrip(row: {
  low: number | null;
  high: number | null;
  value: number | null;
  interval: { low: number; high: number } | null;
}): LimitStrip | null {
  const { low, high, value, interval } = row;
  const only = high ?? low;
  if (value === null || only === null) return null;
  const reach =
    low !== null && high !== null
      ? (high - low) / 2
      : Math.max(Math.abs(only - value), 0.25 * Math.abs(only));
  const from = (low ?? only - 2 * reach) - reach;
  const to = (high ?? only + 2 * reach) + reach;
  const place = (v: number) =>
    to > from ? Math.min(Math.max((100 * (v - from)) / (to - from), 0), 100) : 50;
  return {
    allowedFrom: low === null ? 0 : place(low),
    allowedTo: high === null ? 100 : place(high),
    intervalFrom: interval === null ? null : place(interval.low),
    intervalTo: interval === null ? null : place(interval.high),
    value: place(value),
    isBeyond: value < from || value > to,
  };
}
