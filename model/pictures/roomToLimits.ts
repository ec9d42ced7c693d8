import type { RowCheck } from "#model/band/band.ts";

/** Where a value lies between its limits: 0 at the lower, 1 at the upper one, beyond either where it is out. */
export interface Room {
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
}

/**
 * The room a row of a band leaves. What has an upper limit alone is measured from nothing, since no size, area or share is
 * below it.
 *
 * @returns null without a value or an upper limit, or where the limits leave no room
 */
export function roomToLimits(row: Pick<RowCheck, "value" | "low" | "high" | "interval">): Room | null {
  const { value, low, high, interval } = row;
  const from = low === null ? 0 : low;
  if (value === null || high === null || !(high > from)) return null;
  const place = (v: number) => (v - from) / (high - from);
  return {
    value: place(value),
    low: interval === null ? null : place(interval.low),
    high: interval === null ? null : place(interval.high),
  };
}
