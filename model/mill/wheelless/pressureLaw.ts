import type { Problem } from "#distributions/problem.ts";
import { readColumns } from "#distributions/tables/readColumns.ts";
import { type Posterior, posteriorOf, predict, predictionQuantile } from "../trials/posterior.ts";
import { intervalOf, type SizeInterval } from "../trials/trialFit.ts";

/** A run of a jet mill without a wheel: only pressure and feed can be set. */
export interface PressureTrial {
  /** Gauge, before the nozzles. */
  readonly pressureBar: number;
  readonly feedKgPerH: number | null;
  readonly d50Um: number;
}

/** ln D50 = a + b ln(p/p_ref) + c ln(F/F_ref); references are geometric means of the trials. */
export interface PressureLaw {
  readonly trials: readonly PressureTrial[];
  readonly referenceBar: number;
  readonly referenceKgPerH: number | null;
  readonly posterior: Posterior;
}

/** Judgements of ours, shown as such: harder jets grind finer, more feed coarser; nothing is believed of the size itself. */
export const pressurePriors = {
  pressure: { mean: -0.5, sd: 0.5 },
  feed: { mean: 0.15, sd: 0.15 },
} as const;
const noise = { degrees: 4, scale: 0.05 } as const;

/** How far outside the trials the law is believed. */
const farthest = 1.5;

/** @returns null without a trial: there is no physics to stand in for one. Source: docs/science.md#powder-and-process. */
export function pressureLaw(trials: readonly PressureTrial[]): PressureLaw | null {
  const referenceBar = geometricMean(trials.map((t) => t.pressureBar));
  if (referenceBar === null) return null;
  const referenceKgPerH = geometricMean(trials.flatMap((t) => t.feedKgPerH ?? []));
  const of = { trials, referenceBar, referenceKgPerH };
  return {
    ...of,
    posterior: posteriorOf(
      trials.map((t) => rowOf(of, t.pressureBar, t.feedKgPerH)),
      trials.map((t) => Math.log(t.d50Um)),
      [{ mean: 0, sd: null }, pressurePriors.pressure, pressurePriors.feed],
      noise,
    ),
  };
}

function rowOf(
  of: Pick<PressureLaw, "referenceBar" | "referenceKgPerH">,
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

/** D50 of one further run, or why it is not given. */
export function d50AtPressure(
  law: PressureLaw,
  pressureBar: number,
  feedKgPerH: number | null,
  level: number,
): { readonly d50Um: SizeInterval | null; readonly why: string | null } {
  const tried = law.trials.map((t) => t.pressureBar);
  const outside = Math.max(pressureBar / Math.max(...tried), Math.min(...tried) / pressureBar);
  if (outside > farthest)
    return {
      d50Um: null,
      why: `the pressure lies ${outside.toFixed(2)} times outside your trials; run one nearer to it first`,
    };
  return { d50Um: intervalOf(predict(law.posterior, rowOf(law, pressureBar, feedKgPerH)), level), why: null };
}

/** The pressure at which half of all runs reach a D50; null where none does within 1.5 times the trials and the limit given. */
export function pressureForD50(
  law: PressureLaw,
  d50Um: number,
  feedKgPerH: number | null,
  highestBar: number,
): number | null {
  const tried = law.trials.map((t) => t.pressureBar);
  const median = (ln: number) =>
    predictionQuantile(predict(law.posterior, rowOf(law, Math.exp(ln), feedKgPerH)), 0.5) - Math.log(d50Um);
  let low = Math.log(Math.min(...tried) / farthest);
  let high = Math.log(Math.min(highestBar, Math.max(...tried) * farthest));
  if (!(high > low) || median(low) < 0 || median(high) > 0) return null;
  while (high - low > 1e-9) {
    const mid = (low + high) / 2;
    if (median(mid) > 0) low = mid;
    else high = mid;
  }
  return Math.exp((low + high) / 2);
}

/** Reads trials under pressureBar, feedKgPerH, d50Um; the feed may be empty. */
export function readPressureTrials(text: string): {
  trials: readonly PressureTrial[];
  problems: readonly Problem[];
} {
  const { rows, problems } = readColumns(text, null, {
    words: [],
    required: ["pressureBar", "d50Um"],
    optional: ["feedKgPerH"],
  });
  return {
    trials: rows.map(({ number }) => ({
      pressureBar: number["pressureBar"] ?? 1,
      feedKgPerH: number["feedKgPerH"] ?? null,
      d50Um: number["d50Um"] ?? 1,
    })),
    problems,
  };
}
