import { mean, sampleStandardDeviation } from "simple-statistics";
import { type Curve, curveOf, meanCurve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { geometricSteps } from "#model/numbers/evenSteps.ts";
import { tQuantile } from "#model/numbers/studentT.ts";
import { counted, figures } from "#model/words/wording.ts";
import type { Band, BandRow } from "./band.ts";
import { limitValue, limitWords } from "./limits.ts";
import { originOf } from "./otherOrigin.ts";

/** A band from a reference needs at least this many of its runs. */
export const minReferenceRuns = 5;

/** Two honest laboratories differ by about this much, however well one of them repeats. A judgement of ours. */
const usualTolerancePercent = 3;

/**
 * The factor on the run-to-run standard deviation that holds one future run at all sizes together.
 *
 * @param runs      two or more, of one powder
 * @param coverage  0 … 1, the share of further runs to be held
 * @throws DomainError  fewer runs, or another coverage
 * Source: t(1 − 0.025/4; n−1)·√(1 + 1/n), simulated simultaneous coverage 94–98 %; docs/science.md.
 */
export function bandFactor(runs: number, coverage = 0.95): number {
  if (!(runs >= 2)) throw new DomainError("runs", "must be two or more", runs);
  if (!(coverage > 0 && coverage < 1))
    throw new DomainError("coverage", "must lie between 0 and 1", coverage);
  return tQuantile(1 - (1 - coverage) / 2 / 4, runs - 1) * Math.sqrt(1 + 1 / runs);
}

/** How wide a band is drawn. */
export interface BandQuestion {
  /** The share of further runs it should hold; 0.95 when left out. */
  readonly coverage?: number;
  /** Agreed tolerance in per cent of a size, half as many points of Q; 3 when left out. */
  readonly tolerancePercent?: number;
}

/**
 * A band about a reference powder's runs, by volume: the mean ± the larger of an agreed tolerance (3 % of a size,
 * 1.5 points of Q, where nothing else is asked) and the factor times the spread of the runs. To be edited by whoever answers for it.
 *
 * @throws DomainError  fewer than five runs, or runs that cannot be turned into volume
 */
export function bandFromRuns(
  measurements: readonly NamedMeasurement[],
  of: Pick<Band, "name" | "stage" | "densityGPerCm3">,
  asked: BandQuestion = {},
): Band {
  const { coverage = 0.95, tolerancePercent = usualTolerancePercent } = asked;
  const agreedPoints = tolerancePercent / 2;
  const agreedShare = tolerancePercent / 100;
  if (measurements.length < minReferenceRuns)
    throw new DomainError("reference runs", `must be at least ${minReferenceRuns}`, measurements.length);
  const { runs, problems } = byVolume(measurements);
  if (runs === null)
    throw new DomainError("reference runs", "must be known by volume", problems[0]?.found ?? "");
  const factor = bandFactor(runs.length, coverage);
  const curves = runs.map((run) => curveOf(run.distribution));
  const middle = meanCurve(curves);
  const from = sizeAt(middle, Math.max(0.002, itemAt(middle.undersize, 0)));
  const to = sizeAt(middle, Math.min(0.999, itemAt(middle.undersize, -1)));
  if (from === null || to === null) throw new DomainError("reference runs", "must have a curve", runs.length);
  const sizesUm = bandSizesUm(middle, from, to);
  const half = sizesUm.map((x) =>
    Math.max(agreedPoints / 100, factor * spread(curves.map((c) => undersizeAt(c, x)))),
  );
  const at = (sign: 1 | -1) =>
    zip(sizesUm, half).map(([x, reach]) =>
      Number(Math.min(1, Math.max(0, undersizeAt(middle, x) + sign * reach)).toFixed(5)),
    );
  const rows = ["d10Um", "d50Um", "d90Um", "span"].flatMap((limit): BandRow[] => {
    const values = runs.flatMap(
      (run) => limitValue({ limit, low: null, high: null }, run.distribution, of) ?? [],
    );
    if (values.length < runs.length) return [];
    const centre = mean(values);
    const ofRuns = factor * sampleStandardDeviation(values);
    const reach = Math.max(agreedShare * centre, ofRuns);
    const { unit } = limitWords({ limit });
    const half = (v: number) => `${figures(v)}${unit === "" ? "" : ` ${unit}`}`;
    return [
      {
        limit,
        low: Number((centre - reach).toPrecision(3)),
        high: Number((centre + reach).toPrecision(3)),
        source: `Mean ${half(centre)} ± ${half(reach)}, the larger of ${half(ofRuns)} (${figures(factor)} times the scatter of ${counted(runs.length, "run")}) and ${half(agreedShare * centre)} (the agreed ${figures(100 * agreedShare)} %).`,
      },
    ];
  });
  return {
    version: 1,
    ...of,
    rule: "two-sided",
    rows,
    envelope: { sizesUm, lowShares: at(-1), highShares: at(1) },
    ...originOf(measurements),
    source: `Mean curve of ${counted(runs.length, "run")} ± the larger of ${figures(factor)} times their scatter at each size and the agreed ${figures(agreedPoints)} percentage points. With this factor, about ${figures(100 * coverage)} % of further runs lie within the envelope at all sizes; more runs make it smaller.`,
  };
}

/** More sizes than this are no longer edited by hand. */
const maxSizes = 150;

/** The class edges of the runs, between which their curves run straight as the band does; even steps where they are too many. */
function bandSizesUm(middle: Curve, from: number, to: number): readonly number[] {
  const own = [from, ...middle.edgesUm.filter((x) => x > from && x < to), to];
  return own.length >= 10 && own.length <= maxSizes
    ? own
    : geometricSteps(from, to, 60).map((x) => Number(x.toPrecision(4)));
}

function spread(values: readonly number[]): number {
  return sampleStandardDeviation([...values]);
}
