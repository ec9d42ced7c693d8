import { itemAt } from "#distributions/lists.ts";
import {
  chanceBelow,
  type Posterior,
  type Prediction,
  posteriorOf,
  predict,
  predictionQuantile,
} from "#model/mill/trials/posterior.ts";
import type { NormalPrior } from "#model/mill/trials/priors.ts";
import { farthestFactor } from "#model/mill/trials/setPoint.ts";
import { normalQuantile } from "#model/numbers/normal.ts";

/** A run of a jet mill without a wheel: only pressure and feed can be set. */
export interface PressureTrial {
  /** Gauge, before the nozzles. */
  readonly pressureBar: number;
  readonly feedKgPerH: number | null;
  readonly d50Um: number;
}

/** ln D50 = a + b ln(p/p_ref) + c ln(F/F_ref); references are geometric means of the trials. */
export interface PressureRegression {
  readonly trials: readonly PressureTrial[];
  readonly referenceBar: number;
  readonly referenceKgPerH: number | null;
  readonly posterior: Posterior;
  /** Leave-one-out z of each trial; empty below three trials. */
  readonly leaveOneOutZ: readonly number[];
}

/** Exponents of D50 before any trial. */
export interface PressurePriors {
  readonly pressure: NormalPrior;
  readonly feed: NormalPrior;
}

/** Judgements of ours, shown as such: harder jets grind finer, more feed coarser; nothing is believed of the size itself. */
export const pressurePriors: PressurePriors = {
  pressure: { mean: -0.5, sd: 0.5 },
  feed: { mean: 0.15, sd: 0.15 },
};
const noise = { degrees: 4, scale: 0.05 } as const;

/** @returns null without a trial: there is no physics to stand in for one. Source: docs/science.md#regression-of-trials. */
export function pressureRegression(
  trials: readonly PressureTrial[],
  believed: PressurePriors = pressurePriors,
): PressureRegression | null {
  const referenceBar = geometricMean(trials.map((t) => t.pressureBar));
  if (referenceBar === null) return null;
  const referenceKgPerH = geometricMean(trials.flatMap((t) => t.feedKgPerH ?? []));
  const of = { trials, referenceBar, referenceKgPerH };
  const rows = trials.map((t) => rowOf(of, t.pressureBar, t.feedKgPerH));
  const ys = trials.map((t) => Math.log(t.d50Um));
  const learned = (counts: (i: number) => boolean) =>
    posteriorOf(
      rows.filter((_, i) => counts(i)),
      ys.filter((_, i) => counts(i)),
      [{ mean: 0, sd: null }, believed.pressure, believed.feed],
      noise,
    );
  return {
    ...of,
    posterior: learned(() => true),
    leaveOneOutZ:
      trials.length < 3
        ? []
        : rows.map((row, i) => {
            const p = chanceBelow(
              predict(
                learned((j) => j !== i),
                row,
              ),
              itemAt(ys, i),
            );
            return normalQuantile(Math.min(Math.max(p, 1e-15), 1 - 1e-15));
          }),
  };
}

function rowOf(
  of: Pick<PressureRegression, "referenceBar" | "referenceKgPerH">,
  pressureBar: number,
  feedKgPerH: number | null,
): number[] {
  const feed =
    feedKgPerH === null || of.referenceKgPerH === null ? 0 : Math.log(feedKgPerH / of.referenceKgPerH);
  return [1, Math.log(pressureBar / of.referenceBar), feed];
}

function geometricMean(values: readonly number[]): number | null {
  return values.length === 0
    ? null
    : Math.exp(values.reduce((sum, v) => sum + Math.log(v), 0) / values.length);
}

/** What one further run at a setting would give, as ln D50 in µm. */
export function atPressure(
  law: PressureRegression,
  pressureBar: number,
  feedKgPerH: number | null,
): Prediction {
  return predict(law.posterior, rowOf(law, pressureBar, feedKgPerH));
}

/** Pressures at which the trials may be believed, never above what is permitted. */
export function pressureLimits(
  { trials }: PressureRegression,
  highestBar: number,
): { readonly lowestBar: number; readonly highestBar: number } {
  const tried = trials.map((t) => t.pressureBar);
  return {
    lowestBar: Math.min(...tried) / farthestFactor,
    highestBar: Math.min(highestBar, Math.max(...tried) * farthestFactor),
  };
}

/**
 * The pressure at which a share of runs reaches a D50.
 *
 * @param wanted  the D50, and the share of runs that come out at that size or finer, 0 … 1
 * @returns      null where no pressure within the limits does
 */
export function pressureForD50(
  law: PressureRegression,
  { d50Um, share }: { readonly d50Um: number; readonly share: number },
  { feedKgPerH, ratedBar }: { readonly feedKgPerH: number | null; readonly ratedBar: number },
): number | null {
  const limits = pressureLimits(law, ratedBar);
  const over = (ln: number) =>
    predictionQuantile(atPressure(law, Math.exp(ln), feedKgPerH), share) - Math.log(d50Um);
  let low = Math.log(limits.lowestBar);
  let high = Math.log(limits.highestBar);
  if (!(high > low) || over(low) < 0 || over(high) > 0) return null;
  while (high - low > 1e-9) {
    const mid = (low + high) / 2;
    if (over(mid) > 0) low = mid;
    else high = mid;
  }
  return Math.exp((low + high) / 2);
}
