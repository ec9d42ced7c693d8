import { mean as meanOf } from "simple-statistics";
import { DomainError } from "#distributions/domainError.ts";
import { itemAt, neighbours } from "#distributions/lists.ts";
import { apartValues } from "#model/numbers/apartValues.ts";
import {
  type DriftLimits,
  driftLimits,
  falseAlarms,
  meanTail,
  minLotsForDrift,
  singleTail,
  smoothingOf,
} from "./driftLimits.ts";
import { movingRangeFactor } from "./individuals.ts";
import { rearranged } from "./rearranged.ts";

/** Whether lots in the order they were made have moved, and how surely a move would have been seen. */
export interface Drift {
  readonly middle: number;
  /** Mean moving range over 1.128. */
  readonly sigma: number;
  /** Exponentially weighted mean after each lot. */
  readonly smoothed: readonly number[];
  /** Half-width of its limits after each lot. */
  readonly smoothedReach: readonly number[];
  /** Half-width of the limits of single values that scatter normally. */
  readonly singleReach: number;
  /** Lots at which the mean left its limits, or that stand apart from the others whatever the shape of their scatter. */
  readonly alarms: readonly Alarm[];
  /** Single values beyond the limits of normal scatter that are no alarm, since heavier tails would reach as far. */
  readonly farOut: readonly FarOut[];
  /** Of steady histories of as many lots at most so many alarm, whatever the shape of their scatter. */
  readonly falseAlarms: number;
  /** Share that does where half of each lot's departure stays in the next, which few lots do not show. */
  readonly falseAlarmsWhereSerial: number;
  /** Of steady histories so many have a single value beyond the limits of normal scatter: with normal scatter, with heavy tails. */
  readonly farOutOf: { readonly normal: number; readonly heavyTailed: number };
  /** Share of histories with a step of two sigma half-way that alarm. */
  readonly stepSeen: number;
  /** Of each lot with the one before, beyond what a single step explains. */
  readonly serialCorrelation: number;
  /** Whether that is more than chance makes of independent lots in 5 % of histories: then the mean's limits allow for it. */
  readonly isCorrelated: boolean;
}

interface Alarm {
  readonly at: number;
  readonly by: "mean" | "single value";
  readonly side: "high" | "low";
}

/** A single value beyond the limits of normal scatter. */
type FarOut = Pick<Alarm, "at" | "side">;

/**
 * A chart of single values and one of their exponentially weighted mean, looked at together, so that at most 5 % of steady
 * histories alarm whatever the shape of their scatter: the mean is judged by the same lots in other orders, and by lots
 * that hang together as much as these; a single value by how far it stands apart from the others of its side.
 *
 * @returns null below eight lots
 * @throws  DomainError  a value that is no number
 * Source: NIST/SEMATECH e-Handbook 6.3.2.2 and 6.3.2.4 (charts); limits by simulation, docs/validation.md.
 */
export function driftOf(
  values: readonly number[],
  limits: DriftLimits = driftLimits(values.length),
): Drift | null {
  const odd = values.find((v) => !Number.isFinite(v));
  if (odd !== undefined) throw new DomainError("value", "must be a number", odd);
  const lots = values.length;
  if (lots < minLotsForDrift) return null;
  const middle = meanOf([...values]);
  const sigma = movingSigma(values);
  if (!(sigma > 0)) return null;
  const smoothing = smoothingOf(lots);
  const { meanLimit, serialCorrelation, isCorrelated } = rearranged(values, meanTail, smoothing);
  const smoothed = weightedMeans(values, middle, smoothing.weight);
  const smoothedReach = [...smoothing.meanSds].map((sd) => meanLimit * sigma * sd);
  const byMean = smoothed.flatMap((value, at): Alarm[] =>
    Math.abs(value - middle) > itemAt(smoothedReach, at)
      ? [{ at, by: "mean", side: value > middle ? "high" : "low" }]
      : [],
  );
  const singleReach = limits.single * sigma;
  const apart = new Set(apartValues(values).flatMap(({ at, gap }) => (gap > limits.gap ? [at] : [])));
  const beyond = values.flatMap((value, at): FarOut[] =>
    Math.abs(value - middle) > singleReach ? [{ at, side: value > middle ? "high" : "low" }] : [],
  );
  const bySingle = beyond
    .filter(({ at }) => apart.has(at))
    .map((one): Alarm => ({ ...one, by: "single value" }));
  return {
    middle,
    sigma,
    smoothed,
    smoothedReach,
    singleReach,
    alarms: [...byMean, ...bySingle].toSorted((a, b) => a.at - b.at),
    farOut: beyond.filter(({ at }) => !apart.has(at)),
    falseAlarms,
    falseAlarmsWhereSerial: limits.serialAlarms,
    farOutOf: { normal: singleTail, heavyTailed: limits.heavyTailedBeyond },
    stepSeen: limits.stepSeen,
    serialCorrelation,
    isCorrelated,
  };
}

/** Mean moving range over 1.128. */
function movingSigma(values: readonly number[]): number {
  const ranges = neighbours(values).map(([before, value]) => Math.abs(value - before));
  return meanOf(ranges) / movingRangeFactor;
}

/** The exponentially weighted mean after each value, from a start. Source: NIST/SEMATECH e-Handbook 6.3.2.4. */
export function weightedMeans(values: readonly number[], start: number, share: number): readonly number[] {
  let smoothed = start;
  return values.map((value) => {
    smoothed = share * value + (1 - share) * smoothed;
    return smoothed;
  });
}
