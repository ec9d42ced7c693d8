import { type Curve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import { type Envelope, sizesOf } from "#model/band/envelope.ts";
import { geometricSteps } from "#model/numbers/evenSteps.ts";

/** What the overlay's vertical axis shows. */
export type OverlayView = "undersize" | "log density";

/** The size range that shows all of several curves: from the finest 0.2 % to the coarsest 0.2 %, opened to a little more. */
export function overlayRangeUm(curves: readonly Curve[]): readonly [number, number] {
  let from = Number.POSITIVE_INFINITY;
  let to = 0;
  for (const curve of curves) {
    from = Math.min(from, sizeAt(curve, Math.max(0.002, itemAt(curve.undersize, 0))) ?? from);
    to = Math.max(to, sizeAt(curve, Math.min(0.998, itemAt(curve.undersize, -1))) ?? to);
  }
  return to > from ? [from / 1.3, to * 1.3] : [0.1, 100];
}

/** As wide as a product and where its band is open, so that the band does not shrink beside stages that are far coarser. */
export function bandRangeUm(product: Curve | null, envelope: Envelope | null): readonly [number, number] {
  const [from, to] = overlayRangeUm(product === null ? [] : [product]);
  const open = (envelope === null ? [] : sizesOf(envelope))
    .filter(({ low, high }) => low < 0.998 && high > 0.002)
    .map(({ sizeUm }) => sizeUm);
  return [Math.min(from, ...open), Math.max(to, ...open)];
}

/** The common sizes at which every curve of an overlay is drawn. */
export function overlaySizesUm(rangeUm: readonly [number, number], count = 241): number[] {
  return geometricSteps(rangeUm[0], rangeUm[1], count);
}

/** One curve on the overlay's sizes: per cent finer, or per cent per ln size between the neighbouring half steps. */
export function overlayValues(curve: Curve, sizesUm: readonly number[], view: OverlayView): number[] {
  if (view === "undersize") return sizesUm.map((x) => 100 * undersizeAt(curve, x));
  return sizesUm.map((x, i) => {
    const low = Math.sqrt(x * (sizesUm[i - 1] ?? x));
    const high = Math.sqrt(x * (sizesUm[i + 1] ?? x));
    return (100 * (undersizeAt(curve, high) - undersizeAt(curve, low))) / Math.log(high / low);
  });
}

/** A band's envelope on the overlay's sizes, straight in ln x between its own; null beyond them. */
export function envelopeValues(
  envelope: Envelope,
  side: "low" | "high",
  sizesUm: readonly number[],
): (number | null)[] {
  const curve: Curve = {
    edgesUm: envelope.sizesUm,
    undersize: side === "low" ? envelope.lowShares : envelope.highShares,
    power: 0,
  };
  const first = itemAt(envelope.sizesUm, 0);
  const last = itemAt(envelope.sizesUm, -1);
  return sizesUm.map((x) => (x < first || x > last ? null : 100 * undersizeAt(curve, x)));
}
