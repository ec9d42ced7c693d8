import { mean as meanOf } from "simple-statistics";
import { itemAt, maxOf, neighbours } from "#distributions/lists.ts";

/** A value that stands apart from the others of its side. */
export interface ApartValue {
  readonly at: number;
  readonly side: "high" | "low";
  /** The gap between it, or one farther out, and the next one inwards, in mean steps between the others of that side. */
  readonly gap: number;
}

/** Of so many values one at each end may stand apart together with others. */
const valuesAnEnd = 20;

/**
 * How far values at either end stand apart, whatever the shape of the scatter: each side is measured by its own steps from
 * value to value, each times its place from the outermost, which for a tail that falls off as an exponential are alike.
 *
 * Source: normalised spacings (P. V. Sukhatme 1937; R. Pyke 1965), from memory; the limit of the gap is simulated for
 * tails as heavy as Student's t of four degrees (`driftLimits.ts`, `refusals.ts`).
 */
export function apartValues(values: readonly number[]): readonly ApartValue[] {
  const order = values.map((value, at) => ({ value, at })).toSorted((a, b) => b.value - a.value);
  return [...endOf(order, "high"), ...endOf(order.toReversed(), "low")];
}

/** @param order  from the outermost value inwards */
function endOf(
  order: readonly { readonly value: number; readonly at: number }[],
  side: ApartValue["side"],
): readonly ApartValue[] {
  const gaps = neighbours(order).map(([outer, inner]) => Math.abs(outer.value - inner.value));
  const steps = gaps.map((gap, i) => (i + 1) * gap);
  const inTail = Math.max(3, Math.floor(order.length / 4));
  const ends = Math.max(1, Math.floor(order.length / valuesAnEnd));
  let widest = 0;
  return Array.from({ length: ends }, (_, i) => ends - 1 - i)
    .map((place): ApartValue => {
      const others = meanOf(steps.slice(place + 1, place + 1 + inTail));
      const gap = itemAt(gaps, place);
      widest = Math.max(widest, gap > 0 ? gap / others : 0);
      return { at: itemAt(order, place).at, side, gap: widest };
    })
    .toReversed();
}

/** The widest gap at either end. */
export const widestGap = (values: readonly number[]): number =>
  maxOf(apartValues(values).map(({ gap }) => gap));
