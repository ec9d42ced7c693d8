import { type Curve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { itemAt, threeOf, zip } from "#distributions/lists.ts";
import type { CurveModel, FitStatus, LeastSquares } from "#model/fit/curveModel.ts";
import { leastSquaresSteps } from "#model/fit/leastSquares.ts";
import { geometricMean } from "#model/numbers/geometricMean.ts";
import { answerOf, type Steps } from "#model/numbers/pausing.ts";
import { type CircuitPriors, usualPriors } from "../trials/priors.ts";
import type { OneExponent } from "./breakage.ts";
import {
  type CircuitShape,
  productTied,
  type TiedKernel,
  type TiedProduct,
  tiedKernel,
  tiedSlopes,
} from "./tied.ts";

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

/** Coarser than for a result: the fit's error is far below what the balance leaves unexplained. */
const classesPerOctave = 4;
const pointsPerCurve = 24;

/** How far logit sharpness, ln fragment exponent and ln load may lie from the usual, and what that weighs. Judgements of ours. */
const spreads = [0.8, 0.5, Math.log(10) / 2] as const;
const beliefPoints = 0.005;

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
    ...productsFrom(feed, Math.min(...points.map((p) => p.d50Um))),
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

/** A size of a measured curve and the share finer there, with the curve's own median. */
interface CurvePoint {
  readonly d50Um: number;
  readonly sizeUm: number;
  readonly undersize: number;
}

/** None where the curve has no median. A share that lies outside its classes is asked at the median instead. */
function pointsOf(curve: Curve): readonly CurvePoint[] {
  const d50Um = sizeAt(curve, 0.5);
  if (d50Um === null) return [];
  return Array.from({ length: pointsPerCurve }, (_, i) => {
    const sizeUm = sizeAt(curve, (i + 0.5) / pointsPerCurve) ?? d50Um;
    return { d50Um, sizeUm, undersize: undersizeAt(curve, sizeUm) };
  });
}

/** The circuits that the search moves among: logit sharpness, ln fragment exponent and ln load at the cut give one. */
interface Circuits {
  readonly shapeOf: (parameters: readonly number[]) => CircuitShape;
  readonly productOf: (shape: CircuitShape, d50Um: number) => TiedProduct | null;
  /** The slopes of its undersize at a size by the three; null where they are only had by differences. */
  readonly slopesOf: (shape: CircuitShape, d50Um: number) => ReturnType<typeof tiedSlopes>;
}

/** Products of one feed. Classes and fragments stay while sharpness and load alone are moved; each search begins at the last cut. */
function productsFrom(feed: Curve, finestUm: number): Pick<Circuits, "productOf" | "slopesOf"> {
  const kernels = new Map<number, TiedKernel>();
  const kernelFor = (shape: CircuitShape) => {
    const known = kernels.get(shape.fragmentExponent);
    if (known !== undefined) return known;
    if (kernels.size > 3) kernels.clear();
    const made = tiedKernel(feed, shape, finestUm, classesPerOctave);
    kernels.set(shape.fragmentExponent, made);
    return made;
  };
  const last = new Map<number, { readonly shape: CircuitShape; readonly product: TiedProduct }>();
  const productOf: Circuits["productOf"] = (shape, d50Um) => {
    const before = last.get(d50Um);
    // The search asks for slopes where it has just asked for the values.
    if (before !== undefined && isSameShape(before.shape, shape)) return before.product;
    const product = productTied(kernelFor(shape), shape, d50Um, before?.product.separation.cutUm ?? null);
    if (product !== null) last.set(d50Um, { shape, product });
    return product;
  };
  return {
    productOf,
    slopesOf(shape, d50Um) {
      const product = productOf(shape, d50Um);
      if (product === null) return null;
      return tiedSlopes(kernelFor(shape), shape, { separation: product.separation, medianUm: d50Um });
    },
  };
}

function isSameShape(a: CircuitShape, b: CircuitShape): boolean {
  return (
    a.sharpness === b.sharpness &&
    a.fragmentExponent === b.fragmentExponent &&
    a.load.value === b.load.value &&
    a.load.at === b.load.at
  );
}

/** The share finer that a circuit gives at each point; 0 where it has no such product, which the search then leaves. */
function undersizesAt(
  points: readonly CurvePoint[],
  { shapeOf, productOf }: Circuits,
  parameters: readonly number[],
): number[] {
  const shape = shapeOf(parameters);
  const curves = new Map(
    [...new Set(points.map((p) => p.d50Um))].map((d50Um) => [d50Um, productOf(shape, d50Um)?.productCurve]),
  );
  return points.map(({ d50Um, sizeUm }) => {
    const curve = curves.get(d50Um);
    return curve === undefined ? 0 : undersizeAt(curve, sizeUm);
  });
}

/** Each belief is one more point: a parameter one spread away costs as much as a gap of `beliefPoints` in one place. */
function pullsOf(parameters: readonly number[], start: readonly number[]): number[] {
  return zip(zip(parameters, start), spreads).map(
    ([[p, usual], spread]) => ((p - usual) / spread) * beliefPoints,
  );
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
    maxGapPoints: 100 * Math.max(...gaps),
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

/** The undersize at all points and the pulls behind them, asked one by one, with their slopes. */
function circuitModel(
  points: readonly CurvePoint[],
  circuits: Circuits,
  start: readonly number[],
): CurveModel {
  const valuesAt = (parameters: readonly number[]) => [
    ...undersizesAt(points, circuits, parameters),
    ...pullsOf(parameters, start),
  ];
  const pulls = start.map((_, k) => start.map((__, j) => (j === k ? beliefPoints / itemAt(spreads, k) : 0)));
  return {
    value: (parameters) => {
      const values = valuesAt(parameters);
      return (i) => itemAt(values, i);
    },
    slopes: (parameters) => {
      const exact = slopesAt(points, circuits, parameters);
      const all = exact === null ? differences(valuesAt, parameters) : [...exact, ...pulls];
      return (i) => itemAt(all, i);
    },
  };
}

/** Of the undersize at each point by each parameter; null where some curve has none. */
function slopesAt(
  points: readonly CurvePoint[],
  { shapeOf, slopesOf }: Circuits,
  parameters: readonly number[],
): (readonly number[])[] | null {
  const shape = shapeOf(parameters);
  const curves = new Map(
    [...new Set(points.map((p) => p.d50Um))].map((d50Um) => [d50Um, slopesOf(shape, d50Um)]),
  );
  const slopes = points.flatMap(({ d50Um, sizeUm }) => {
    const at = curves.get(d50Um) ?? null;
    return at === null ? [] : [at(sizeUm)];
  });
  return slopes.length === points.length ? slopes : null;
}

/** Slopes by differences of 1e-4 either way. */
function differences(
  valuesAt: (parameters: readonly number[]) => readonly number[],
  parameters: readonly number[],
): (readonly number[])[] {
  const step = 1e-4;
  const sides = parameters.map((_, k) => {
    const moved = (by: number) => parameters.map((p, j) => (j === k ? p + by : p));
    return zip(valuesAt(moved(step)), valuesAt(moved(-step))).map(([up, down]) => (up - down) / (2 * step));
  });
  const [first = []] = sides;
  return first.map((_, i) => sides.map((side) => itemAt(side, i)));
}

function logit(p: number): number {
  return Math.log(p / (1 - p));
}
