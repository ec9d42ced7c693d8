import { type Curve, curveOf, meanCurve, sizeAt } from "#distributions/curve.ts";
import { maxOf, minOf } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Distances, distances } from "../../distributions/distances.ts";

/** How far a powder lies from a reference, beside how far the reference's own runs lie from one another. */
export interface Against {
  readonly maxGapPoints: number;
  readonly atUm: number;
  /** 100·(exp(W1) − 1), never negative. */
  readonly shiftPercent: number;
  /** 100·(exp(difference of mean ln x) − 1), positive where the powder is coarser. */
  readonly meanShiftPercent: number;
  readonly overlap: number;
  /** ln(D_p / D_p of the reference) at each per cent of the line; null where one is not known. */
  readonly lnRatios: readonly (number | null)[];
  /** Nearer than means of so many runs lie by the reference's own scatter, in gap and in shift; null where it has one run. */
  readonly isWithinNoise: boolean | null;
}

/** The same measures among the reference's own runs: each run against the mean of the others, the largest. */
export interface NoiseFloor {
  readonly maxGapPoints: number;
  readonly shiftPercent: number;
  readonly leastOverlap: number;
  /** The largest |ln ratio| at each per cent of the line; null where one is not known. */
  readonly lnRatios: readonly (number | null)[];
}

/** Per cents of the percentile-ratio line. */
export const linePercents: readonly number[] = Array.from({ length: 19 }, (_, i) => 5 * (i + 1));

const mean = (runs: readonly NamedMeasurement[]): Curve =>
  meanCurve(runs.map((m) => curveOf(m.distribution)));
const percent = (ln: number) => 100 * Math.expm1(ln);

/** @returns null where the reference has one run, which has nothing to differ from */
export function noiseFloorOf(reference: readonly NamedMeasurement[]): NoiseFloor | null {
  if (reference.length < 2) return null;
  const pairs = reference.map((run, i): [Curve, Curve] => [
    mean(reference.filter((_, j) => j !== i)),
    curveOf(run.distribution),
  ]);
  const each = pairs.map(([others, own]) => distances(others, own));
  const lines = pairs.map(([others, own]) => lnRatiosOf(others, own));
  const most = (of: (d: Distances) => number) => maxOf(each.map(of));
  return {
    maxGapPoints: most((d) => d.maxGapPoints),
    shiftPercent: percent(most((d) => d.wassersteinLn)),
    leastOverlap: minOf(each.map((d) => d.overlap)),
    lnRatios: linePercents.map((_, k) => {
      const known = lines.flatMap((line) => line[k] ?? []);
      return known.length < lines.length ? null : maxOf(known.map(Math.abs));
    }),
  };
}

function lnRatiosOf(reference: Curve, powder: Curve): (number | null)[] {
  return linePercents.map((p) => {
    const [own, other] = [sizeAt(reference, p / 100), sizeAt(powder, p / 100)];
    return own === null || other === null ? null : Math.log(other / own);
  });
}

/**
 * A powder against a reference, both the mean of their runs.
 * The floor is of single runs, each against the mean of the others; two means lie nearer, by √((1/m + 1/n)(n − 1)/n) for
 * m runs of the powder and n of the reference, and are told apart beyond that.
 * Source: docs/science.md (distances, percentile-ratio line, noise floor). Fractions, not counts: no p-value belongs to them.
 */
export function against(
  reference: readonly NamedMeasurement[],
  powder: readonly NamedMeasurement[],
  floor: NoiseFloor | null,
): Against {
  const [a, b] = [mean(reference), mean(powder)];
  const apart = distances(a, b);
  const shiftPercent = percent(apart.wassersteinLn);
  const ofMeans = Math.sqrt((1 / powder.length + 1 / reference.length) * (1 - 1 / reference.length));
  return {
    maxGapPoints: apart.maxGapPoints,
    atUm: apart.atUm,
    shiftPercent,
    meanShiftPercent: percent(apart.meanLnShift),
    overlap: apart.overlap,
    lnRatios: lnRatiosOf(a, b),
    isWithinNoise:
      floor === null
        ? null
        : apart.maxGapPoints <= ofMeans * floor.maxGapPoints &&
          apart.wassersteinLn <= ofMeans * Math.log1p(floor.shiftPercent / 100),
  };
}
