import type uPlot from "uplot";
import { type Ink, inkOfStroke, type Stroke } from "./ink.ts";

/** What stands on a chart beside its lines. */
export type Mark =
  | { readonly kind: "point"; readonly x: number; readonly y: number; readonly small?: boolean }
  | { readonly kind: "wall"; readonly x: number; readonly label: string }
  | { readonly kind: "pointer"; readonly x: number; readonly label: string }
  | { readonly kind: "strip"; readonly low: number; readonly high: number; readonly label: string };

type InkFor = (name: Ink) => string;

export function drawMarks(u: uPlot, marks: readonly Mark[], ink: InkFor): void {
  for (const mark of marks) {
    if (mark.kind === "strip") strip(u, mark, ink);
    else if (mark.kind === "point") point(u, mark.x, mark.y, mark.small === true ? 2.5 : 4.5, ink);
    else upright(u, mark, ink);
  }
}

function strip(u: uPlot, mark: { low: number; high: number; label: string }, ink: InkFor): void {
  const { ctx, bbox } = u;
  const top = Math.max(u.valToPos(mark.high, "y", true), bbox.top);
  const bottom = Math.min(u.valToPos(mark.low, "y", true), bbox.top + bbox.height);
  if (!(bottom > top)) return;
  ctx.save();
  ctx.globalCompositeOperation = "destination-over";
  ctx.fillStyle = ink("band");
  ctx.fillRect(bbox.left, top, bbox.width, bottom - top);
  ctx.restore();
  write(u, mark.label, bbox.left + 8 * devicePixelRatio, (top + bottom) / 2, ink("ink"), "left");
}

function point(u: uPlot, x: number, y: number, radius: number, ink: InkFor): void {
  const { ctx } = u;
  ctx.save();
  ctx.beginPath();
  ctx.arc(u.valToPos(x, "x", true), u.valToPos(y, "y", true), radius * devicePixelRatio, 0, 2 * Math.PI);
  ctx.fillStyle = ink("paper");
  ctx.fill();
  ctx.lineWidth = 1.5 * devicePixelRatio;
  ctx.strokeStyle = ink("ink");
  ctx.stroke();
  ctx.restore();
}

function upright(u: uPlot, mark: { kind: "wall" | "pointer"; x: number; label: string }, ink: InkFor): void {
  const { ctx, bbox } = u;
  const at = u.valToPos(mark.x, "x", true);
  if (at < bbox.left - 1 || at > bbox.left + bbox.width + 1) return;
  const isWall = mark.kind === "wall";
  ctx.save();
  ctx.beginPath();
  ctx.lineWidth = (isWall ? 3 : 1.5) * devicePixelRatio;
  ctx.strokeStyle = ink(isWall ? "ink" : "accent");
  ctx.moveTo(at, bbox.top);
  ctx.lineTo(at, bbox.top + bbox.height);
  ctx.stroke();
  ctx.restore();
  const isRight = at > bbox.left + bbox.width / 2;
  const gap = 6 * devicePixelRatio * (isRight ? -1 : 1);
  write(
    u,
    mark.label,
    at + gap,
    bbox.top + (isWall ? 10 : 26) * devicePixelRatio,
    ink("ink"),
    isRight ? "right" : "left",
  );
}

/** Each line carries its own name where it first reaches `labelAt`, so that no legend is needed. */
export function drawLabels(
  u: uPlot,
  lines: readonly { label: string; labelAt?: number; stroke: Stroke; values: readonly (number | null)[] }[],
  ink: InkFor,
): void {
  const xs = u.data[0];
  for (const { label, labelAt, stroke, values } of lines) {
    if (labelAt === undefined) continue;
    const i = values.findIndex((v) => v !== null && v >= labelAt);
    const x = xs[i];
    const y = values[i];
    if (i < 0 || x === undefined || y === null || y === undefined) continue;
    const left = u.valToPos(x, "x", true);
    const toLeft = left > u.bbox.left + 0.72 * u.bbox.width;
    const gap = 8 * devicePixelRatio * (toLeft ? -1 : 1);
    write(
      u,
      label,
      left + gap,
      u.valToPos(y, "y", true),
      ink(inkOfStroke(stroke)),
      toLeft ? "right" : "left",
    );
  }
}

function write(u: uPlot, text: string, x: number, y: number, colour: string, align: CanvasTextAlign): void {
  const { ctx } = u;
  ctx.save();
  ctx.font = `600 ${12 * devicePixelRatio}px system-ui, sans-serif`;
  ctx.fillStyle = colour;
  ctx.textAlign = align;
  ctx.textBaseline = "middle";
  ctx.fillText(text, x, y);
  ctx.restore();
}
