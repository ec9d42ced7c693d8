import { individuals } from "./individuals.ts";

/** A check of an instrument on a reference material. */
export interface NotedCheck {
  readonly day: string;
  readonly referenceMaterial: string;
  readonly quantity: string;
  readonly stated: number;
  readonly standardUncertainty: number | null;
  readonly found: number;
  readonly unit: string;
}

/** A check as its deviation from what is stated. */
export interface CheckedValue {
  readonly day: string;
  readonly deviationPercent: number;
  /** Whether it lies beyond twice the stated standard uncertainty; null where none is stated. */
  readonly isBeyondStated: boolean | null;
}

/** Checks of one quantity on one reference material in the order of their days, with the limits of the series. */
export interface CheckSeries {
  readonly referenceMaterial: string;
  readonly quantity: string;
  readonly values: readonly CheckedValue[];
  /** Of the deviations, from their own scatter; null below five checks. */
  readonly limits: { readonly low: number; readonly middle: number; readonly high: number } | null;
  /** Days of checks beyond those limits. */
  readonly outside: readonly string[];
}

/**
 * Checks as series, a reference material and quantity each. The limits are those of a chart of single values.
 * Source: NIST/SEMATECH e-Handbook 6.3.2.2; twice the standard uncertainty as coverage of about 95 % (JCGM 100, 6.2).
 */
export function checkSeries(checks: readonly NotedCheck[]): readonly CheckSeries[] {
  const of = new Map<string, NotedCheck[]>();
  for (const check of checks.toSorted((a, b) => a.day.localeCompare(b.day))) {
    const key = `${check.referenceMaterial}\n${check.quantity}`;
    of.set(key, [...(of.get(key) ?? []), check]);
  }
  return [...of.values()].flatMap((series): CheckSeries[] => {
    const [first] = series;
    if (first === undefined) return [];
    const values = series.map(checkedValue);
    const chart = individuals(values.map(({ deviationPercent }) => deviationPercent));
    const limits = chart === null ? null : { low: chart.low, middle: chart.middle, high: chart.high };
    const isOutside = ({ deviationPercent: v }: CheckedValue) =>
      limits !== null && (v < limits.low || v > limits.high);
    return [
      {
        referenceMaterial: first.referenceMaterial,
        quantity: first.quantity,
        values,
        limits,
        outside: values.filter(isOutside).map(({ day }) => day),
      },
    ];
  });
}

function checkedValue({ day, stated, found, standardUncertainty: u }: NotedCheck): CheckedValue {
  return {
    day,
    deviationPercent: (100 * (found - stated)) / stated,
    isBeyondStated: u === null ? null : Math.abs(found - stated) > 2 * u,
  };
}
