import { type Curve, sizeAt } from "#distributions/curve.ts";
import { zip } from "#distributions/lists.ts";
import type { PredictedSizes } from "./predictedSizes.ts";

/** Edges nearer than this, as a share of their size, are one. */
const coincide = 1e-9;

/** D10, D50 and D90 that a curve is to have, µm; null where they are not known. */
export interface TiedSizes {
  readonly d10Um: number | null;
  readonly d50Um: number;
  readonly d90Um: number | null;
}

/**
 * A curve with given D10, D50 and D90: slid to its median, and each side of it stretched in ln x until its percentile is the
 * one that is wanted. A side whose percentile is not known, or lies on the wrong side of the median, keeps its width.
 *
 * Accuracy: the three percentiles to rounding; a curve whose own median is not known stays as it is.
 * A judgement of ours: the trials tell three sizes, the curve the shape between them.
 */
export function tiedToSizes(curve: Curve, { d10Um, d50Um, d90Um }: TiedSizes): Curve {
  const [d10, d50, d90] = [sizeAt(curve, 0.1), sizeAt(curve, 0.5), sizeAt(curve, 0.9)];
  if (d50 === null) return curve;
  const stretchTo = (own: number | null, wanted: number | null) => {
    const stretch = own === null || wanted === null ? 1 : Math.log(wanted / d50Um) / Math.log(own / d50);
    return stretch > 0 && Number.isFinite(stretch) ? stretch : 1;
  };
  const [fine, coarse] = [stretchTo(d10, d10Um), stretchTo(d90, d90Um)];
  const placed = (sizeUm: number) => d50Um * (sizeUm / d50) ** (sizeUm < d50 ? fine : coarse);
  // The percentiles become edges, so that each is placed exactly whatever the rule inside its class.
  const marks = zip([d10, d50, d90], [0.1, 0.5, 0.9]).flatMap(
    ([sizeUm, share]): (readonly [number, number])[] => (sizeUm === null ? [] : [[sizeUm, share]]),
  );
  const rising = [...zip(curve.edgesUm, curve.undersize), ...marks].sort(
    ([a, below], [b, upTo]) => a - b || below - upTo,
  );
  // A percentile that is an edge but for rounding is that edge: two that coincide once placed would hold an empty class.
  const isApart = (sizeUm: number, before: number | undefined) =>
    before === undefined || sizeUm > before * (1 + coincide);
  const edges = rising.filter(([sizeUm], i) => isApart(sizeUm, rising[i - 1]?.[0]));
  return {
    ...curve,
    edgesUm: edges.map(([sizeUm]) => placed(sizeUm)),
    undersize: edges.map(([, share]) => share),
  };
}

interface WithRange {
  readonly curve: Curve;
  readonly finer: Curve;
  readonly coarser: Curve;
}

/** A product and both ends of its range, each with the sizes that are said of it: what is drawn never contradicts them. */
export function tiedToPrediction<W extends WithRange>(
  whole: W,
  { d10Um, d50Um, d90Um }: Pick<PredictedSizes, "d10Um" | "d50Um" | "d90Um">,
): W {
  const at = (end: "median" | "low" | "high"): TiedSizes => ({
    d10Um: d10Um?.[end] ?? null,
    d50Um: d50Um[end],
    d90Um: d90Um?.[end] ?? null,
  });
  return {
    ...whole,
    curve: tiedToSizes(whole.curve, at("median")),
    finer: tiedToSizes(whole.finer, at("low")),
    coarser: tiedToSizes(whole.coarser, at("high")),
  };
}
