import type uPlot from "uplot";
import { shownAs } from "#ui/data/numberMarks.ts";
import { type Ink, type InkFor, inkOfStroke, type Stroke } from "./ink.ts";
import { type LabelPoint, placeNames } from "./placeNames.ts";

interface Labelled {
  readonly label: string;
  readonly labelAt?: number;
  readonly stroke: Stroke;
  readonly values: readonly (number | null)[];
}

/** Each line carries its own name near the value asked for, so that no legend is needed. */
export function drawLabels(u: uPlot, lines: readonly Labelled[], ink: InkFor): void {
  const places = placeNames(
    lines.map(({ label, labelAt, stroke, values }) => ({
      points: pointsOf(u, values),
      isDrawn: inkOfStroke(stroke) !== "none",
      name:
        labelAt === undefined ? null : { width: widthOf(u, label), wantedY: u.valToPos(labelAt, "y", true) },
    })),
    u.bbox,
    devicePixelRatio,
  );
  for (const [i, { label, stroke }] of lines.entries()) {
    const place = places[i] ?? null;
    if (place !== null)
      write(u, label, { x: place.left, y: place.top + place.height / 2, colour: inkOfStroke(stroke) }, ink);
  }
}

/** Words on a picture, with a halo of their ground so that a line behind them does not strike them through. */
export function write(
  u: uPlot,
  text: string,
  place: { x: number; y: number; colour?: Ink; align?: CanvasTextAlign; ground?: Ink },
  ink: InkFor,
): void {
  const { x, y, colour = "ink", align = "left", ground = "paper" } = place;
  const { ctx } = u;
  const shown = shownAs.value(text);
  ctx.save();
  ctx.font = font();
  ctx.textAlign = align;
  ctx.textBaseline = "middle";
  ctx.lineJoin = "round";
  ctx.lineWidth = 4 * devicePixelRatio;
  ctx.strokeStyle = ink(ground);
  ctx.strokeText(shown, x, y);
  ctx.fillStyle = ink(colour);
  ctx.fillText(shown, x, y);
  ctx.restore();
}

function font(): string {
  return `600 ${12 * devicePixelRatio}px system-ui, sans-serif`;
}

function widthOf(u: uPlot, text: string): number {
  u.ctx.save();
  u.ctx.font = font();
  const { width } = u.ctx.measureText(text);
  u.ctx.restore();
  return width;
}

function pointsOf(u: uPlot, values: readonly (number | null)[]): LabelPoint[] {
  return values.flatMap((value, i) => {
    const x = u.data[0][i];
    return value === null || x === undefined
      ? []
      : [{ x: u.valToPos(x, "x", true), y: u.valToPos(value, "y", true) }];
  });
}
