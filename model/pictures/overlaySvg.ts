import { type Curve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import { type Envelope, sizesOf } from "#model/band/envelope.ts";
import { bandRangeUm, overlaySizesUm } from "./overlay.ts";
import { decadeTicks, plainDecimal } from "./scale.ts";

/** A curve with the name that stands beside it. */
export interface NamedCurve {
  readonly name: string;
  readonly curve: Curve;
}

const width = 720;
const height = 176;
const plot = { left: 44, right: 708, top: 12, bottom: 136 } as const;
const dashes = ["7 4", "2 3", "9 3 2 3"];
const labelShares = [0.85, 0.35, 0.5];
/** A line's own name stands left of it where the line runs left of the product, else right. */
const beside = 8;

/**
 * The product over its band with the other stages, as SVG text in black and greys: every line has its own dash and its
 * name beside it, so that nothing hangs on colour.
 */
export function overlaySvg(
  product: NamedCurve,
  others: readonly NamedCurve[],
  envelope: Envelope | null,
): string {
  const range = bandRangeUm(product.curve, envelope);
  const sizes = overlaySizesUm(range, 161);
  const x = (um: number) =>
    plot.left + ((plot.right - plot.left) * Math.log(um / range[0])) / Math.log(range[1] / range[0]);
  const y = (share: number) => plot.bottom - (plot.bottom - plot.top) * share;
  const at = (um: number, share: number) => `${x(um).toFixed(1)},${y(share).toFixed(1)}`;
  const line = ({ curve }: NamedCurve, style: string) =>
    `<polyline fill="none" stroke="#111" ${style} points="${sizes.map((s) => at(s, undersizeAt(curve, s))).join(" ")}"/>`;
  const label = ({ name, curve }: NamedCurve, wanted: number, weight: string) => {
    // A curve that goes on beyond the picture is named where it is still inside.
    const share = Math.min(wanted, undersizeAt(curve, range[1] * 0.8));
    const size = sizeAt(curve, share);
    const own = sizeAt(product.curve, share);
    if (size === null) return "";
    const isLeft = own !== null && size < own;
    const place = `x="${(x(size) + (isLeft ? -beside : beside)).toFixed(1)}" y="${(y(share) + 4).toFixed(1)}" text-anchor="${isLeft ? "end" : "start"}"`;
    return `<text ${place} font-weight="${weight}" paint-order="stroke" stroke="#fff" stroke-width="3">${escaped(name)}</text>`;
  };
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img" aria-label="Share finer over size: ${escaped([product, ...others].map((c) => c.name).join(", "))}" font-family="sans-serif" font-size="11" fill="#111">`,
    ...gridOf(range, x, y),
    envelope === null ? "" : bandOf(envelope, range, at),
    ...others.map((other, i) =>
      line(other, `stroke-width="1" stroke-dasharray="${itemAt(dashes, i % dashes.length)}"`),
    ),
    line(product, 'stroke-width="2.4"'),
    ...others.map((other, i) => label(other, itemAt(labelShares, i % labelShares.length), "400")),
    label(product, 0.6, "700"),
    `<text x="${(plot.left + plot.right) / 2}" y="${height - 4}" text-anchor="middle">size, µm</text>`,
    `<text x="12" y="${(plot.top + plot.bottom) / 2}" transform="rotate(-90 12 ${(plot.top + plot.bottom) / 2})" text-anchor="middle">% finer, by volume</text>`,
    "</svg>",
  ].join("");
}

function gridOf(
  range: readonly [number, number],
  x: (um: number) => number,
  y: (share: number) => number,
): string[] {
  const upright = decadeTicks(range[0], range[1]).map(
    (um) =>
      `<line x1="${x(um).toFixed(1)}" x2="${x(um).toFixed(1)}" y1="${plot.top}" y2="${plot.bottom}" stroke="#ddd"/><text x="${x(um).toFixed(1)}" y="${plot.bottom + 14}" text-anchor="middle">${plainDecimal(um)}</text>`,
  );
  const flat = [0, 0.25, 0.5, 0.75, 1].map(
    (share) =>
      `<line x1="${plot.left}" x2="${plot.right}" y1="${y(share).toFixed(1)}" y2="${y(share).toFixed(1)}" stroke="#ddd"/><text x="${plot.left - 4}" y="${(y(share) + 4).toFixed(1)}" text-anchor="end">${100 * share}</text>`,
  );
  return [...upright, ...flat];
}

function bandOf(
  envelope: Envelope,
  range: readonly [number, number],
  at: (um: number, share: number) => string,
): string {
  const shown = sizesOf(envelope).filter(({ sizeUm }) => sizeUm >= range[0] && sizeUm <= range[1]);
  const there = shown.map((p) => at(p.sizeUm, p.high));
  const back = [...shown].reverse().map((p) => at(p.sizeUm, p.low));
  return shown.length < 2
    ? ""
    : `<polygon points="${[...there, ...back].join(" ")}" fill="#e2e2e2" stroke="#777" stroke-width="0.8"/>`;
}

/** Text that may stand in markup. */
export function escaped(text: string): string {
  return text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;");
}
