import type uPlot from "uplot";
import type { Curve } from "#distributions/curve.ts";
import { overlayValues } from "#model/pictures/overlay.ts";
import type { LinesUnder } from "./lineChartProps.ts";

/** Where an overlay's plot lies on its canvas, in the canvas' own pixels, and how sizes and shares are laid on it. */
interface ThinFrame {
  readonly width: number;
  readonly height: number;
  /** ln of the size at the left edge. */
  readonly from: number;
  readonly perLn: number;
  readonly perPercent: number;
}

/**
 * Curves too many to be told apart, beneath an overlay's own lines: one path, drawn once into a picture three times as
 * wide as the plot. Moving the axis only moves that picture.
 */
export function thinLines(curves: readonly { readonly name: string; readonly curve: Curve }[]): LinesUnder {
  const path = new Path2D();
  for (const { curve } of curves) addTo(path, curve);
  let saved: { readonly look: string; readonly from: number; readonly picture: OffscreenCanvas } | null =
    null;
  return {
    linesAt: (sizesUm) =>
      curves.map(({ name, curve }) => ({ label: name, values: overlayValues(curve, sizesUm, "undersize") })),
    paint: (u, ink) => {
      const frame = frameOf(u);
      const { width, height, from, perLn } = frame;
      const colour = ink("muted");
      const look = [width, height, perLn.toFixed(2), colour].join();
      const leftOf = (left: number) => Math.round((from - left) * perLn);
      if (saved?.look !== look || leftOf(saved.from) < 0 || leftOf(saved.from) > 2 * width) {
        const start = from - width / perLn;
        saved = { look, from: start, picture: pictureOf(path, { ...frame, from: start }, colour) };
      }
      const { left, top } = u.bbox;
      u.ctx.drawImage(saved.picture, leftOf(saved.from), 0, width, height, left, top, width, height);
    },
  };
}

/** Through the class edges, where the share finer is measured. */
function addTo(path: Path2D, { edgesUm, undersize }: Curve): void {
  for (const [i, sizeUm] of edgesUm.entries()) {
    const [x, y] = [Math.log(sizeUm), 100 * (undersize[i] ?? 0)];
    if (i === 0) path.moveTo(x, y);
    else path.lineTo(x, y);
  }
}

function frameOf({ bbox: { width, height }, scales }: uPlot): ThinFrame {
  const from = Math.log(scales["x"]?.min ?? 1);
  const ln = Math.log(scales["x"]?.max ?? 1) - from;
  return { width, height, from, perLn: width / ln, perPercent: height / (scales["y"]?.max ?? 100) };
}

function pictureOf(path: Path2D, { width, height, from, perLn, perPercent }: ThinFrame, colour: string) {
  const picture = new OffscreenCanvas(3 * width, height);
  const pen = picture.getContext("2d");
  if (pen === null) return picture;
  const placed = new Path2D();
  placed.addPath(path, new DOMMatrix([perLn, 0, 0, -perPercent, -from * perLn, height]));
  // No fainter, for a single line must keep a contrast of 3 to the paper.
  pen.globalAlpha = 0.7;
  pen.lineWidth = 1;
  pen.strokeStyle = colour;
  pen.stroke(placed);
  return picture;
}
