import type uPlot from "uplot";
import type { ChartMark as Mark } from "#model/pictures/chartPicture.ts";
import type { InkFor } from "./ink.ts";
import { write } from "./labels.ts";
import type { MarksOver } from "./lineChartProps.ts";

/** Marks with what paints them: charts without marks do not carry this code. */
export function marked(marks: readonly Mark[]): MarksOver {
  return { marks, paint: (u, ink) => drawMarks(u, marks, ink) };
}

function drawMarks(u: uPlot, marks: readonly Mark[], ink: InkFor): void {
  const points = marks.filter((mark) => mark.kind === "point");
  for (const mark of marks) if (mark.kind === "strip") fillStrip(u, mark, ink);
  for (const mark of marks) if (mark.kind === "wall" || mark.kind === "pointer") standUpright(u, mark, ink);
  for (const mark of points) point(u, mark, mark.small === true ? 2.5 : 4.5, ink);
  for (const mark of marks) {
    if (mark.kind === "strip") labelStrip(u, mark, points, ink);
    if (mark.kind === "wall" || mark.kind === "pointer") labelUpright(u, mark, ink);
  }
}

interface Strip {
  readonly low: number;
  readonly high: number;
  readonly label: string;
}

function heightsOf(u: uPlot, { low, high }: Strip): { top: number; bottom: number } {
  const { bbox } = u;
  return {
    top: Math.max(u.valToPos(high, "y", true), bbox.top),
    bottom: Math.min(u.valToPos(low, "y", true), bbox.top + bbox.height),
  };
}

function fillStrip(u: uPlot, strip: Strip, ink: InkFor): void {
  const { ctx, bbox } = u;
  const { top, bottom } = heightsOf(u, strip);
  if (!(bottom > top)) return;
  ctx.save();
  ctx.globalCompositeOperation = "destination-over";
  ctx.fillStyle = ink("band");
  ctx.fillRect(bbox.left, top, bbox.width, bottom - top);
  ctx.restore();
}

/** At the end of the strip where fewer points would be covered; under it where both ends hold some. */
function labelStrip(u: uPlot, strip: Strip, points: readonly { x: number; y: number }[], ink: InkFor): void {
  const { bbox } = u;
  const { top, bottom } = heightsOf(u, strip);
  if (!(bottom > top)) return;
  const line = 10 * devicePixelRatio;
  const reach = 6.6 * strip.label.length * devicePixelRatio;
  const gap = 8 * devicePixelRatio;
  const covered = (from: number, height: number) =>
    points.filter(({ x, y }) => {
      const left = u.valToPos(x, "x", true);
      return (
        left > from - gap &&
        left < from + reach + gap &&
        Math.abs(u.valToPos(y, "y", true) - height) < 1.4 * line
      );
    }).length;
  const right = bbox.left + bbox.width - gap - reach;
  const middle = (top + bottom) / 2;
  const places = [
    { from: bbox.left + gap, height: middle },
    { from: right, height: middle },
    { from: bbox.left + gap, height: bottom + line },
  ];
  const [best] = places
    .map((place) => ({ ...place, covers: covered(place.from, place.height) }))
    .sort((a, b) => a.covers - b.covers);
  if (best !== undefined) write(u, strip.label, { x: best.from, y: best.height, ground: "band" }, ink);
}

function point(u: uPlot, { x, y }: { x: number; y: number }, radius: number, ink: InkFor): void {
  const { ctx } = u;
  ctx.save();
  ctx.beginPath();
  ctx.arc(u.valToPos(x, "x", true), u.valToPos(y, "y", true), radius * devicePixelRatio, 0, 2 * Math.PI);
  ctx.closePath();
  ctx.fillStyle = ink("paper");
  ctx.fill();
  ctx.lineWidth = 1.5 * devicePixelRatio;
  ctx.strokeStyle = ink("ink");
  ctx.stroke();
  ctx.restore();
}

type Upright = Extract<Mark, { kind: "wall" | "pointer" }>;

function placeOf(u: uPlot, mark: Upright): number | null {
  const { bbox } = u;
  const at = u.valToPos(mark.x, "x", true);
  return at < bbox.left - 1 || at > bbox.left + bbox.width + 1 ? null : at;
}

function standUpright(u: uPlot, mark: Upright, ink: InkFor): void {
  const { ctx, bbox } = u;
  const at = placeOf(u, mark);
  if (at === null) return;
  const isWall = mark.kind === "wall";
  ctx.save();
  ctx.beginPath();
  ctx.lineWidth = (isWall ? 3 : 1.5) * devicePixelRatio;
  ctx.strokeStyle = ink(isWall ? "ink" : "accent");
  ctx.moveTo(at, bbox.top);
  ctx.lineTo(at, bbox.top + bbox.height);
  ctx.stroke();
  ctx.restore();
}

/** A wall is named at the top, the pointer at the foot, so that they never meet. */
function labelUpright(u: uPlot, mark: Upright, ink: InkFor): void {
  const { bbox } = u;
  const at = placeOf(u, mark);
  if (at === null) return;
  const isRight = at > bbox.left + bbox.width / 2;
  const gap = 6 * devicePixelRatio * (isRight ? -1 : 1);
  const line = 11 * devicePixelRatio;
  const height = mark.kind === "wall" ? bbox.top + line : bbox.top + bbox.height - line;
  write(u, mark.label, { x: at + gap, y: height, align: isRight ? "right" : "left" }, ink);
}
