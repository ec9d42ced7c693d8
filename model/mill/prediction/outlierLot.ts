import { maxOf, minOf } from "#distributions/lists.ts";
import { tCdf } from "#model/numbers/studentT.ts";
import { type GrowthByPercent, minPairs, shiftAt, tablePercents } from "./refiringGrowth.ts";

/** A lot that re-firing changed otherwise than the others, and the percentile where that shows most. */
export interface OutlierLot {
  readonly lot: string;
  readonly percent: number;
  /** Ratios re-fired over milled: the lot's own, and of the others the least and the most. */
  readonly growth: number;
  readonly others: { readonly least: number; readonly most: number };
}

/** In ln: no laser diffraction tells sizes nearer than this apart, however alike the others are. */
const leastApart = 0.01;
/** In ln: rounded sizes may agree by chance, so no smaller scatter is believed. */
const leastScatter = 0.001;

/** Among lots of one scatter so many sets of them have a lot that is called odd. */
const falselyOdd = 0.02;

/**
 * The lot that stands farthest from all others at D10, D50 or D90; null where scatter may explain it.
 * Each lot is held against what the others foretell of a further one, Student's t of n − 2 on ln of their ratios, and the
 * chance is shared among all lots and percentiles (Bonferroni). With three lots hardly any is called odd.
 *
 * Source: externally studentised deviate (textbook); docs/science.md.
 */
export function outlierLot(shift: GrowthByPercent): OutlierLot | null {
  const n = shift.lots.length;
  if (n < minPairs) return null;
  const found = tablePercents.flatMap((percent) => {
    const values = shift.lnRatios.map((row) => shiftAt(shift, row, percent));
    return values.map((value, i) => {
      const others = values.filter((_, k) => k !== i);
      const middle = others.reduce((sum, v) => sum + v, 0) / (n - 1);
      const variance = others.reduce((sum, v) => sum + (v - middle) ** 2, 0) / (n - 2);
      const apart = Math.abs(value - middle);
      const scatter = Math.max(Math.sqrt(variance * (1 + 1 / (n - 1))), leastScatter);
      const chance = apart < leastApart ? 1 : 2 * tCdf(-apart / scatter, n - 2);
      return { i, percent, value, others, chance };
    });
  });
  const worst = found.reduce((a, b) => (b.chance < a.chance ? b : a));
  if (!(worst.chance * found.length < falselyOdd)) return null;
  return {
    lot: shift.lots[worst.i] ?? "",
    percent: worst.percent,
    growth: Math.exp(worst.value),
    others: { least: Math.exp(minOf(worst.others)), most: Math.exp(maxOf(worst.others)) },
  };
}
