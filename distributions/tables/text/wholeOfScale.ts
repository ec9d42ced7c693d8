import type { ScaleOption } from "./readingOptions.ts";

/** What shares of each scale add to; amounts have a total of their own. */
export const wholeOf: Readonly<Record<ScaleOption, number>> = {
  percent: 100,
  fraction: 1,
  "per-mille": 1000,
  ppm: 1e6,
  amount: 1,
};
