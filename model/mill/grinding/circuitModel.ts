import { type Curve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import type { CurveModel } from "#model/fit/curveModel.ts";
import {
  type CircuitShape,
  productTied,
  type TiedKernel,
  type TiedProduct,
  tiedKernel,
  tiedSlopes,
} from "./tied.ts";

/** Coarser than for a result: the fit's error is far below what the balance leaves unexplained. */
const classesPerOctave = 4;
const pointsPerCurve = 24;

/** How far logit sharpness, ln fragment exponent and ln load may lie from the usual, and what that weighs. Judgements of ours. */
const spreads = [0.8, 0.5, Math.log(10) / 2] as const;
const beliefPoints = 0.005;

/** A size of a measured curve and the share finer there, with the curve's own median. */
export interface CurvePoint {
  readonly d50Um: number;
  readonly sizeUm: number;
  readonly undersize: number;
}

/** None where the curve has no median. A share that lies outside its classes is asked at the median instead. */
export function pointsOf(curve: Curve): readonly CurvePoint[] {
  const d50Um = sizeAt(curve, 0.5);
  if (d50Um === null) return [];
  return Array.from({ length: pointsPerCurve }, (_, i) => {
    const sizeUm = sizeAt(curve, (i + 0.5) / pointsPerCurve) ?? d50Um;
    return { d50Um, sizeUm, undersize: undersizeAt(curve, sizeUm) };
  });
}

/** The circuits that the search moves among: logit sharpness, ln fragment exponent and ln load at the cut give one. */
export interface Circuits {
  readonly shapeOf: (parameters: readonly number[]) => CircuitShape;
  readonly productOf: (shape: CircuitShape, d50Um: number) => TiedProduct | null;
  /** The slopes of its undersize at a size by the three; null where they are only had by differences. */
  readonly slopesOf: (shape: CircuitShape, d50Um: number) => ReturnType<typeof tiedSlopes>;
}

/** Products of one feed. Classes and fragments stay while sharpness and load alone are moved; each search begins at the last cut. */
export function productsFrom(feed: Curve, finestUm: number): Pick<Circuits, "productOf" | "slopesOf"> {
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
export function undersizesAt(
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

/** The undersize at all points and the pulls behind them, asked one by one, with their slopes. */
export function circuitModel(
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
