import { straightAt } from "#distributions/kernels/sorted.ts";
import { maxOf, minOf, zip } from "#distributions/lists.ts";
import { type Prediction, posteriorOf, predict } from "#model/mill/trials/posterior.ts";
import { thinPosterior, thinPrediction } from "#model/mill/trials/predictionMixture.ts";

/** The percentiles a pair is known by when it comes as a table: D10, D50, D90. */
export const tablePercents: readonly number[] = [10, 50, 90];

/** One lot's percentiles before and after it was fired again. */
export interface RefiringPair {
  readonly lot: string;
  readonly percents: readonly number[];
  /** One a percent. */
  readonly milledUm: readonly number[];
  readonly refiredUm: readonly number[];
}

/** What re-firing did to the lots that have both stages. */
export interface GrowthByPercent {
  readonly lots: readonly string[];
  readonly percents: readonly number[];
  /** ln of the milled size in µm: a row a lot, a column a percent. */
  readonly lnMilled: readonly (readonly number[])[];
  /** ln(D re-fired / D milled), likewise. */
  readonly lnRatios: readonly (readonly number[])[];
}

/** Fewer lots than this say what re-firing does on average, but not how it varies. */
export const minPairs = 3;

/** Components of the mixture that stands for one shift. */
const components = 8;

/** @returns null where there is no pair */
export function growthByPercent(pairs: readonly RefiringPair[]): GrowthByPercent | null {
  const [first] = pairs;
  if (first === undefined) return null;
  return {
    lots: pairs.map((p) => p.lot),
    percents: first.percents,
    lnMilled: pairs.map((p) => p.milledUm.map(Math.log)),
    lnRatios: pairs.map((p) =>
      zip(p.refiredUm, p.milledUm).map(([after, before]) => Math.log(after / before)),
    ),
  };
}

/** The mean of ln(D re-fired / D milled) at a percent; straight in the percent between those known, level beyond. */
export function meanShift(shift: GrowthByPercent, percent: number): number {
  return meanOf(shift.lnRatios.map((row) => shiftAt(shift, row, percent)));
}

/** The same of the lot that grew least, or shrank most, at that percent. */
export function minShift(shift: GrowthByPercent, percent: number): number {
  return minOf(shift.lnRatios.map((row) => shiftAt(shift, row, percent)));
}

/** The same of the lot that grew most. */
export function maxShift(shift: GrowthByPercent, percent: number): number {
  return maxOf(shift.lnRatios.map((row) => shiftAt(shift, row, percent)));
}

/** One lot's shift at a percent. */
export function shiftAt({ percents }: GrowthByPercent, row: readonly number[], percent: number): number {
  return straightAt(percents, row, percent);
}

/**
 * The mean shift of sizes that lie so far, in ln, from the size at a percent: straight in ln of each lot's own milled
 * sizes, level beyond those known.
 */
export function meanShiftFrom(shift: GrowthByPercent, percent: number, lnDistance: number): number {
  const { percents, lnMilled, lnRatios } = shift;
  return meanOf(
    zip(lnRatios, lnMilled).map(([row, sizes]) => {
      return straightAt(sizes, row, straightAt(percents, sizes, percent) + lnDistance);
    }),
  );
}

/**
 * What a further lot's shift would be, as a mixture of normals: Student's t on ln of the lots' own ratios.
 * Below three lots the mean alone, without any spread: the caller says so.
 *
 * Source: prediction of one further normal value under p(σ) ∝ 1/σ (textbook); docs/science.md.
 */
export function shiftPrediction(shift: GrowthByPercent, percent: number): Prediction {
  return furtherValue(shift.lnRatios.map((row) => shiftAt(shift, row, percent)));
}

/** The same for the difference of two shifts of one lot: how re-firing changes ln(D90/D50) or ln(D50/D10). */
export function widthShiftPrediction(shift: GrowthByPercent, percent: number, over: number): Prediction {
  return furtherValue(shift.lnRatios.map((row) => shiftAt(shift, row, percent) - shiftAt(shift, row, over)));
}

function furtherValue(values: readonly number[]): Prediction {
  if (values.length < minPairs) return { weights: [1], means: [meanOf(values)], sds: [0] };
  const flat = [{ mean: 0, sd: null }];
  const posterior = posteriorOf(
    values.map(() => [1]),
    values,
    flat,
    "flat",
  );
  return predict(thinPosterior(posterior, components), [1]);
}

function meanOf(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / Math.max(values.length, 1);
}

/** What re-firing adds to a further lot, worked out once: ln shifts of D10, D50, D90 and of the two widths. */
export interface RefiringGrowth {
  readonly shift: GrowthByPercent;
  readonly d50: Prediction;
  /** Of ln(D90/D50). */
  readonly coarse: Prediction;
  /** Of ln(D50/D10). */
  readonly fine: Prediction;
  /** Of each percentile by itself, for its interval: in one lot D50 and the widths grow together. */
  readonly percentiles: { readonly d10: Prediction; readonly d50: Prediction; readonly d90: Prediction };
}

/** Components kept of D50's and the widths' growth, as of each regression: the sums stay short enough for a map. */
const keptComponents = 5;

/**
 * How re-firing moves ln D10, D50, D90 and the two widths, for setting the band back to the milled powder.
 * Accuracy: D50 and the widths, which chances are summed over, keep five components. Source: docs/science.md (set-back for re-firing).
 */
export function refiringGrowth(shift: GrowthByPercent): RefiringGrowth {
  const percentiles = {
    d10: shiftPrediction(shift, 10),
    d50: shiftPrediction(shift, 50),
    d90: shiftPrediction(shift, 90),
  };
  return {
    shift,
    percentiles,
    d50: thinPrediction(percentiles.d50, keptComponents),
    coarse: thinPrediction(widthShiftPrediction(shift, 90, 50), keptComponents),
    fine: thinPrediction(widthShiftPrediction(shift, 50, 10), keptComponents),
  };
}

/** Ratios re-fired over milled. */
export interface Growth {
  readonly d10: number;
  readonly d50: number;
  readonly d90: number;
}

/** The ratios that the mean growth, or that of one lot, stands for. */
export function growthOf({ shift }: RefiringGrowth, of: typeof meanShift): Growth {
  const at = (percent: number) => Math.exp(of(shift, percent));
  return { d10: at(10), d50: at(50), d90: at(90) };
}
