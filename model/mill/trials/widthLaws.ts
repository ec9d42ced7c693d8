import { zip } from "#distributions/lists.ts";
import { dot } from "#model/numbers/kernels/vectors.ts";
import { weightedMean } from "./kernels/mixtures.ts";
import type { CoefficientPrior, Posterior, RegressionPoint } from "./posterior.ts";
import type { Priors } from "./priors.ts";
import type { Trial } from "./trial.ts";
import { correlationOf } from "./widthPrediction.ts";

/** The widths of the product by the settings and by the run's own D50. */
export interface WidthLaws {
  /**
   * ln(D90/D50) and ln(D50/D10) by the same law, with one coefficient more: of the run's own departure of ln D50 from its
   * law. So the three are one law of D10, D50 and D90. Null where no trial has the percentile.
   */
  readonly coarseWidth: Posterior | null;
  readonly fineWidth: Posterior | null;
  /** How the two widths err together beside that. */
  readonly widthsCorrelation: number;
}

/** Before any trial: how much of a run's departure in ln D50 its widths take back; −1 where D10 and D90 do not follow D50 at all. Judgement. */
const departurePrior: CoefficientPrior = { mean: -0.3, sd: 0.6 };

/** Widths hardly move with the setting; a product of this kind has D90/D50 and D50/D10 near 1.8. */
export function widthPriorsOf({ width, widthSlopeSd }: Priors): readonly CoefficientPrior[] {
  const slope = { mean: 0, sd: widthSlopeSd };
  return [width, slope, slope, slope, slope, departurePrior];
}

/** The two widths, each by its law of the settings and of the run's departure in ln D50, and how they err beside that. */
export function fitWidths(
  points: readonly RegressionPoint[],
  sizes: readonly TrialSizes[],
  middle: ArrayLike<number>,
  learnedFrom: (from: readonly RegressionPoint[]) => Posterior,
): WidthLaws {
  const widthOf = (lnRatio: (t: TrialSizes) => number | null) => {
    const known = zip(points, sizes).map(([{ row, y }, size]) => {
      const ln = lnRatio(size);
      return ln === null ? null : { row: [...row, y - dot(row, middle)], y: ln };
    });
    const those = known.filter((point) => point !== null);
    const posterior = those.length === 0 ? null : learnedFrom(those);
    const mean = posterior === null ? null : meanOf(posterior);
    const residuals = known.map((point) =>
      point === null || mean === null ? null : point.y - dot(point.row, mean),
    );
    return { posterior, residuals };
  };
  const coarse = widthOf((t) => (t.d90Um === null ? null : Math.log(t.d90Um / t.d50Um)));
  const fine = widthOf((t) => (t.d10Um === null ? null : Math.log(t.d50Um / t.d10Um)));
  const both = zip(coarse.residuals, fine.residuals).flatMap(([c, f]) =>
    c === null || f === null ? [] : [[c, f] as const],
  );
  return {
    coarseWidth: coarse.posterior,
    fineWidth: fine.posterior,
    widthsCorrelation: correlationOf(
      both.map(([c]) => c),
      both.map(([, f]) => f),
    ),
  };
}

type TrialSizes = Pick<Trial, "d10Um" | "d50Um" | "d90Um">;

function meanOf({ components }: Posterior): Float64Array {
  return weightedMean(
    components.map((c) => c.weight),
    components.map((c) => c.mean),
  );
}
