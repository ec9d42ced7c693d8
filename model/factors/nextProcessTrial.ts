import { mean } from "simple-statistics";
import { maxOf, minOf } from "#distributions/lists.ts";
import { cholesky, inverseFrom } from "#model/numbers/cholesky.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import { dot } from "#model/numbers/kernels/vectors.ts";
import { tCdf } from "#model/numbers/studentT.ts";
import { regressionOn } from "./regression.ts";

/** A factor with the range in which the person allows the next trial. */
export interface AllowedFactor {
  readonly name: string;
  readonly values: readonly number[];
  readonly from: number;
  readonly to: number;
}

export interface ProposedTrial {
  readonly settings: readonly { readonly factor: string; readonly value: number }[];
  /** How much smaller the widest standard error of an effect becomes, 0..1; of the likeliest setting the chance to lie in the limits. */
  readonly gain: number;
  /** Whether a setting lies outside what the lots have tried. */
  readonly isExtrapolation: boolean;
}

export interface NextProcessTrial {
  /** The setting that best tells apart what the lots leave open. */
  readonly splitting: ProposedTrial | null;
  /** The setting whose result most likely lies within its limits; null without limits. */
  readonly likeliest: ProposedTrial | null;
}

/** Each factor is tried at its ends and between. */
const stepsOfFactor = 5;
/** More settings than this are not gone through one by one. */
const maxSettings = 20_000;
/** A setting that was never varied is worth learning from: a weak prior keeps its error finite, in ranges of the factor. */
const priorRanges = 3;

/**
 * Two proposals for the next lot within the limits given: the setting that most shrinks the widest standard error among
 * the effects of all factors (so that factors which moved together so far are moved apart), and the setting whose
 * result, predicted by the regression on all factors with Student's t, most likely lies within its limits.
 *
 * @param result  lot by lot, as the factors
 * @param limits  of the result; null where nothing is asked of it
 * @returns both null where there are fewer than two lots or no factor
 * Source: sequential design by the variance of the effects (textbook optimal design); docs/validation.md holds the simulation.
 */
export function nextProcessTrial(asked: {
  readonly result: readonly number[];
  readonly factors: readonly AllowedFactor[];
  readonly limits: { readonly low: number | null; readonly high: number | null } | null;
}): NextProcessTrial {
  const { result, factors, limits } = asked;
  const settings = settingsWithin(factors);
  if (factors.length === 0 || result.length < 2 || settings.length === 0)
    return { splitting: null, likeliest: null };
  const scaled = factors.map(scaledBy);
  const columns = factors.map((factor) => factor.values.map(scaledBy(factor)));
  return {
    splitting: splitting(factors, settings, scaled, columns),
    likeliest: limits === null ? null : likeliest(factors, settings, { scaled, columns, result, limits }),
  };
}

type Setting = readonly number[];
type Scale = (value: number) => number;

/** From −1 to 1 over what is allowed or was tried, whichever is wider: factors of all units weigh alike. */
function scaledBy({ values, from, to }: AllowedFactor): Scale {
  const [low, high] = [Math.min(from, ...values), Math.max(to, ...values)];
  return high > low ? (value) => (2 * value - low - high) / (high - low) : () => 0;
}

function settingsWithin(factors: readonly AllowedFactor[]): readonly Setting[] {
  const count = stepsOfFactor ** factors.length > maxSettings ? 2 : stepsOfFactor;
  return factors.reduce<readonly Setting[]>(
    (settings, { from, to }) => {
      const steps = to > from ? evenSteps(from, to, count) : [from];
      return settings.flatMap((setting) => steps.map((value) => [...setting, value]));
    },
    [[]],
  );
}

/** A setting in the scale of the factors. */
const scaledSetting = (setting: Setting, scaled: readonly Scale[]): number[] =>
  scaled.flatMap((scale, j) => {
    const value = setting[j];
    return value === undefined ? [] : [scale(value)];
  });

function splitting(
  factors: readonly AllowedFactor[],
  settings: readonly Setting[],
  scaled: readonly Scale[],
  columns: readonly (readonly number[])[],
): ProposedTrial | null {
  const rows = rowsOf(columns);
  const now = widestVariance(rows);
  const rated = settings.map((setting) => ({
    setting,
    variance: widestVariance([...rows, [1, ...scaledSetting(setting, scaled)]]),
  }));
  const best = rated.toSorted((a, b) => a.variance - b.variance)[0];
  if (best === undefined) return null;
  return proposed(factors, best.setting, 1 - Math.sqrt(best.variance / now));
}

/** The largest variance of an effect in units of the residual variance. */
function widestVariance(rows: readonly (readonly number[])[]): number {
  const square = productsOf(columnsOf(rows)).map((row, a) =>
    row.map((sum, b) => (a === b && a > 0 ? sum + priorRanges ** -2 : sum)),
  );
  const root = cholesky(square);
  if (root === null) return Number.POSITIVE_INFINITY;
  return maxOf(inverseFrom(root).flatMap((row, i) => (i === 0 ? [] : [...row.slice(i, i + 1)])));
}

function likeliest(
  factors: readonly AllowedFactor[],
  settings: readonly Setting[],
  known: {
    readonly scaled: readonly Scale[];
    readonly columns: readonly (readonly number[])[];
    readonly result: readonly number[];
    readonly limits: { readonly low: number | null; readonly high: number | null };
  },
): ProposedTrial | null {
  const { scaled, columns, result, limits } = known;
  const isVaried = columns.map((column) => column.some((v) => v !== column[0]));
  const varied = columns.filter((_, j) => isVaried[j]);
  const fit = regressionOn(varied, result);
  if (fit === null) return null;
  const means = varied.map((column) => mean([...column]));
  const centred = varied.map((column) => {
    const middle = mean([...column]);
    return column.map((v) => v - middle);
  });
  const root = cholesky(productsOf(centred));
  const inverse = root === null ? [] : inverseFrom(root);
  const rated = settings.map((setting) => {
    const own = scaledSetting(setting, scaled).filter((_, j) => isVaried[j]);
    const away = own.flatMap((value, k) => means.slice(k, k + 1).map((middle) => value - middle));
    const centre = fit.meanOfResult + dot(fit.slopes, away);
    const leverage = dot(
      away,
      inverse.map((row) => dot(row, away)),
    );
    const sd = fit.residualSd * Math.sqrt(1 + 1 / fit.lots + leverage);
    const below = (limit: number | null, open: number) =>
      limit === null ? open : tCdf((limit - centre) / sd, fit.degrees);
    return { setting, chance: below(limits.high, 1) - below(limits.low, 0) };
  });
  const best = rated.toSorted((a, b) => b.chance - a.chance)[0];
  return best === undefined ? null : proposed(factors, best.setting, best.chance);
}

function proposed(factors: readonly AllowedFactor[], setting: Setting, gain: number): ProposedTrial {
  const settings = factors.flatMap(({ name }, j) => {
    const value = setting[j];
    return value === undefined ? [] : [{ factor: name, value }];
  });
  const isExtrapolation = factors.some(({ values }, j) => {
    const value = setting[j];
    return value !== undefined && (value < minOf(values) || value > maxOf(values));
  });
  return { settings, gain, isExtrapolation };
}

/** Each lot as a row: 1 for the mean, then its scaled settings. */
function rowsOf(columns: readonly (readonly number[])[]): number[][] {
  const [first = []] = columns;
  return first.map((_, i) => [1, ...columns.flatMap((column) => column.slice(i, i + 1))]);
}

function columnsOf(rows: readonly (readonly number[])[]): number[][] {
  const [first = []] = rows;
  return first.map((_, j) => rows.flatMap((row) => row.slice(j, j + 1)));
}

/** Sums of products of every two columns. */
function productsOf(columns: readonly (readonly number[])[]): number[][] {
  return columns.map((a) => columns.map((b) => dot(a, b)));
}
