import { type Curve, meanCurve, shifted, sizeAt } from "#distributions/curve.ts";
import { itemAt, neighbours, zip } from "#distributions/lists.ts";

/**
 * The shape of the product about its median, from whole curves: ln(size/D50) by the share finer. With it a limit on a
 * share or on the area becomes one on D50 and a width, since a wider or narrower product is taken as this one stretched
 * along ln size, its fine half by ln(D50/D10), its coarse half by ln(D90/D50).
 */
export interface ProductShape {
  /** Of median 1. */
  readonly curve: Curve;
  /** ln(D50/D10) and ln(D90/D50) of it. */
  readonly fineWidth: number;
  readonly coarseWidth: number;
}

/**
 * The mean of several curves, each slid to the median 1.
 *
 * @returns null where none has its D10, D50 and D90
 */
export function productShape(curves: readonly Curve[]): ProductShape | null {
  const known = curves.flatMap((curve) => {
    const d50 = sizeAt(curve, 0.5);
    return d50 === null || sizeAt(curve, 0.1) === null || sizeAt(curve, 0.9) === null
      ? []
      : [shifted(curve, 1 / d50)];
  });
  if (known.length === 0) return null;
  return shapeOf(meanCurve(known));
}

/** @returns null where the curve has not its D10, D50 and D90 */
export function shapeOf(of: Curve): ProductShape | null {
  const d50 = sizeAt(of, 0.5);
  if (d50 === null) return null;
  const curve = shifted(of, 1 / d50);
  const [d10, d90] = [sizeAt(curve, 0.1), sizeAt(curve, 0.9)];
  if (d10 === null || d90 === null) return null;
  const [fineWidth, coarseWidth] = [-Math.log(d10), Math.log(d90)];
  return fineWidth > 0 && coarseWidth > 0 ? { curve, fineWidth, coarseWidth } : null;
}

/**
 * How many widths a share finer lies from the median: negative on the fine side.
 *
 * @returns null where the shape does not reach that far
 */
export function widthsAt({ curve, fineWidth, coarseWidth }: ProductShape, share: number): number | null {
  const size = share > 0 && share < 1 ? sizeAt(curve, share) : null;
  if (size === null) return null;
  const ln = Math.log(size);
  return ln / (ln < 0 ? fineWidth : coarseWidth);
}

/** Mean of (size/D50)^power where one half of the shape has another width; the other keeps its own. */
export function momentWith(
  { curve, fineWidth, coarseWidth }: ProductShape,
  power: number,
  half: "fine" | "coarse",
  width: number,
): number {
  const { edgesUm, undersize } = curve;
  const stretch = half === "fine" ? width / fineWidth : width / coarseWidth;
  const placed = edgesUm.map((x) => {
    const ln = Math.log(x);
    return ln < 0 === (half === "fine") ? ln * stretch : ln;
  });
  const edges = zip(placed, undersize);
  const [lowest, unseen] = itemAt(edges, 0);
  let sum = unseen * Math.exp(power * lowest);
  for (const [[from, below], [to, upTo]] of neighbours(edges)) {
    const share = upTo - below;
    if (share <= 0) continue;
    const span = power * (to - from);
    // The mean of x^power in a class whose share rises straight in ln x.
    sum += share * Math.exp(power * from) * (span === 0 ? 1 : Math.expm1(span) / span);
  }
  return sum;
}
