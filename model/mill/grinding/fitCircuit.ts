import type { Curve } from "#distributions/curve.ts";
import { itemAt, maxOf, minOf, threeOf, zip } from "#distributions/lists.ts";
import type { FitStatus, LeastSquares } from "#model/fit/curveModel.ts";
import { leastSquaresSteps } from "#model/fit/leastSquares.ts";
import { geometricMean } from "#model/numbers/geometricMean.ts";
import { answerOf, type Steps } from "#model/numbers/pausing.ts";
import { type CircuitPriors, usualPriors } from "../trials/priors.ts";
import type { OneExponent } from "./breakage.ts";
import {
  type Circuits,
  type CurvePoint,
  circuitModel,
  pointsOf,
  productsFrom,
  undersizesAt,
} from "./circuitModel.ts";
import type { CircuitShape } from "./tied.ts";

/** Where a circuit's shape comes from. */
export interface FittedCircuit {
  readonly shape: CircuitShape;
  /** Curves it was fitted to; 0 where it is assumed. */
  readonly curves: number;
  /** Typical and largest gap to them, percentage points; null where it is assumed. */
  readonly rmsPoints: number | null;
  readonly maxGapPoints: number | null;
  readonly status: FitStatus | "assumed";
  /** Standard errors of sharpness, fragment exponent and ln load from the curvature: numerical, no confidence. */
  readonly standardErrors: readonly [number, number, number] | null;
  /** Loads that the percentiles alone do not tell apart; the range that throughput is said over. */
  readonly loadRange: readonly [number, number];
}

/** Loads either side of the one believed, as factors, where no curve tells. */
const assumedReach = 10;

/** Broadbent and Callcott's own exponent is 1, whatever is believed of a power of z. */
const exponentOf = (kind: OneExponent, priors: CircuitPriors) =>
  kind === "power" ? priors.fragmentExponent : 1;

/** The shape that is believed, its load meant at a cut size. */
export function assumedCircuit(
  cutUm: number,
  fragmentKind: OneExponent = "power",
  priors: CircuitPriors = usualPriors.circuit,
): FittedCircuit {
  return {
    shape: {
      sharpness: priors.sharpness,
      rateExponent: priors.rateExponent,
      fragmentKind,
      fragmentExponent: exponentOf(fragmentKind, priors),
      load: { at: "1 µm", value: priors.load / cutUm ** priors.rateExponent },
    },
    curves: 0,
    rmsPoints: null,
    maxGapPoints: null,
    status: "assumed",
    standardErrors: null,
    loadRange: [priors.load / assumedReach, priors.load * assumedReach],
  };
}

/**
 * Sharpness, fragment exponent and load fitted to whole curves of the product, each tied to its own median: the wheel's cut
 * is whatever gives that median. Unweighted least squares of Q over 24 shares of each curve.
 *
 * @param products  undersize curves of trials
 * @param feed      what went into the mill
 * @param believed  where the search starts, and what it is weakly pulled to
 * @returns         null where no curve can be followed
 * Source: docs/science.md.
 */
export function fitCircuit(
  products: readonly Curve[],
  feed: Curve,
  fragmentKind: OneExponent = "power",
  priors: CircuitPriors = usualPriors.circuit,
): FittedCircuit | null {
  return answerOf(fitCircuitSteps(products, feed, fragmentKind, priors));
}

/** The same with a pause after each step of the search. */
export function* fitCircuitSteps(
  products: readonly Curve[],
  feed: Curve,
  fragmentKind: OneExponent = "power",
  priors: CircuitPriors = usualPriors.circuit,
): Steps<FittedCircuit | null> {
  const known = products.map(pointsOf).filter((points) => points.length > 0);
  if (known.length === 0) return null;
  const points = known.flat();
  const circuits: Circuits = {
    shapeOf: (parameters) => {
      const [logitSharpness, lnExponent, lnLoad] = threeOf(parameters);
      return {
        sharpness: 1 / (1 + Math.exp(-logitSharpness)),
        fragmentKind,
        fragmentExponent: Math.exp(lnExponent),
        load: { at: "cut", value: Math.exp(lnLoad) },
        rateExponent: priors.rateExponent,
      };
    },
    ...productsFrom(feed, minOf(points.map((p) => p.d50Um))),
  };
  const start = [logit(priors.sharpness), Math.log(exponentOf(fragmentKind, priors)), Math.log(priors.load)];
  const ys = [...points.map((p) => p.undersize), ...start.map(() => 0)];
  const model = circuitModel(points, circuits, start);
  const bounds = {
    lowest: [logit(0.15), Math.log(0.3), Math.log(0.005)],
    highest: [logit(0.97), Math.log(8), Math.log(50)],
  };
  const found = yield* leastSquaresSteps({ model, xs: ys.map((_, i) => i), ys, bounds }, start);
  return describedFit(found, points, circuits, known.length);
}

/** @returns null where the circuit found gives none of the medians */
function describedFit(
  found: LeastSquares,
  points: readonly CurvePoint[],
  circuits: Circuits,
  curves: number,
): FittedCircuit | null {
  const values = undersizesAt(points, circuits, found.parameters);
  const gaps = zip(values, points).map(([value, { undersize }]) => Math.abs(value - undersize));
  const atCut = circuits.shapeOf(found.parameters);
  const load = atCut.load.value;
  const cuts = [...new Set(points.map((p) => p.d50Um))].flatMap((d50Um) => {
    return circuits.productOf(atCut, d50Um)?.separation.cutUm ?? [];
  });
  const cutUm = geometricMean(cuts);
  if (cutUm === null) return null;
  // From here on the rates stay and the cut moves.
  const shape: CircuitShape = {
    ...atCut,
    load: { at: "1 µm", value: load / cutUm ** atCut.rateExponent },
  };
  const [sharpnessSd, exponentSd, loadSd] =
    found.covariance?.map((row, i) => Math.sqrt(Math.max(itemAt(row, i), 0))) ?? [];
  // Two curvature errors either way, but never a narrower belief than a factor of 1.5,
  // nor a wider one than a factor of 100.
  const reach = Math.min(Math.max(2 * (loadSd ?? Number.POSITIVE_INFINITY), Math.log(1.5)), Math.log(100));
  return {
    shape,
    curves,
    rmsPoints: 100 * Math.sqrt(gaps.reduce((sum, g) => sum + g * g, 0) / gaps.length),
    maxGapPoints: 100 * maxOf(gaps),
    status: found.status,
    standardErrors:
      sharpnessSd === undefined || exponentSd === undefined || loadSd === undefined
        ? null
        : [
            sharpnessSd * shape.sharpness * (1 - shape.sharpness),
            exponentSd * shape.fragmentExponent,
            loadSd,
          ],
    loadRange: [load * Math.exp(-reach), load * Math.exp(reach)],
  };
}

function logit(p: number): number {
  return Math.log(p / (1 - p));
}
