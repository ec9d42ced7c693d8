import type uPlot from "uplot";
import { type Ink, inkOfStroke, type Stroke } from "./ink.ts";

type InkFor = (name: Ink) => string;

interface Labelled {
  readonly label: string;
  readonly labelAt?: number;
  readonly stroke: Stroke;
  readonly values: readonly (number | null)[];
}

interface Box {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

interface Point {
  readonly x: number;
  readonly y: number;
}

const fontPx = 12;

/**
 * Each line carries its own name, so that no legend is needed. The name stands near the value asked for, at the first
 * place beside its line where it lies on no line and on no other name; where there is none, at the least crowded one.
 */
export function drawLabels(u: uPlot, lines: readonly Labelled[], ink: InkFor): void {
  const drawn = lines.map((line) => pointsOf(u, line.values));
  const paths = drawn.filter((_, i) => inkOfStroke(lines[i]?.stroke ?? "hidden") !== "none");
  const taken: Box[] = [];
  // The product comes last in the list and is the one to be read first, so it chooses its place first.
  for (const [i, line] of [...lines.entries()].reverse()) {
    if (line.labelAt === undefined) continue;
    const own = drawn[i] ?? [];
    const width = widthOf(u, line.label);
    let best: { box: Box; crowd: number } | null = null;
    for (const anchor of anchors(own, u.valToPos(line.labelAt, "y", true))) {
      for (const box of boxesAt(anchor, width)) {
        if (!isWithin(box, u.bbox)) continue;
        const crowd = crowdIn(box, paths, taken);
        if (best === null || crowd < best.crowd) best = { box, crowd };
        if (crowd === 0) break;
      }
      if (best?.crowd === 0) break;
    }
    if (best === null) continue;
    taken.push(best.box);
    write(u, line.label, best.box.left, best.box.top + best.box.height / 2, ink, {
      colour: inkOfStroke(line.stroke),
    });
  }
}

/** Words on a picture, with a halo of their ground so that a line behind them does not strike them through. */
export function write(
  u: uPlot,
  text: string,
  x: number,
  y: number,
  ink: InkFor,
  {
    colour = "ink",
    align = "left",
    ground = "paper",
  }: { colour?: Ink; align?: CanvasTextAlign; ground?: Ink } = {},
): void {
  const { ctx } = u;
  ctx.save();
  ctx.font = font();
  ctx.textAlign = align;
  ctx.textBaseline = "middle";
  ctx.lineJoin = "round";
  ctx.lineWidth = 4 * devicePixelRatio;
  ctx.strokeStyle = ink(ground);
  ctx.strokeText(text, x, y);
  ctx.fillStyle = ink(colour);
  ctx.fillText(text, x, y);
  ctx.restore();
}

function font(): string {
  return `600 ${fontPx * devicePixelRatio}px system-ui, sans-serif`;
}

function widthOf(u: uPlot, text: string): number {
  u.ctx.save();
  u.ctx.font = font();
  const { width } = u.ctx.measureText(text);
  u.ctx.restore();
  return width;
}

function pointsOf(u: uPlot, values: readonly (number | null)[]): Point[] {
  return values.flatMap((value, i) => {
    const x = u.data[0][i];
    return value === null || x === undefined
      ? []
      : [{ x: u.valToPos(x, "x", true), y: u.valToPos(value, "y", true) }];
  });
}

/** Points of a line to try, the one at the wanted height first, then farther and farther from it. */
function anchors(line: readonly Point[], wantedY: number): Point[] {
  const at = Math.max(
    line.findIndex((p) => p.y <= wantedY),
    0,
  );
  const step = Math.max(Math.round(line.length / 60), 1);
  const tried: Point[] = [];
  for (let away = 0; away <= line.length; away += step) {
    for (const i of away === 0 ? [at] : [at - away, at + away]) {
      const point = line[i];
      if (point !== undefined) tried.push(point);
    }
  }
  return tried;
}

/** Where a name may stand about a point: right or left of it, level or a little lower or higher. */
function boxesAt({ x, y }: Point, width: number): Box[] {
  const height = (fontPx + 2) * devicePixelRatio;
  const gap = 8 * devicePixelRatio;
  const box = (left: number, middle: number) => ({ left, top: middle - height / 2, width, height });
  return [
    box(x + gap, y),
    box(x - gap - width, y),
    box(x + gap, y + height),
    box(x - gap - width, y - height),
  ];
}

function isWithin(box: Box, { left, top, width, height }: Box): boolean {
  return (
    box.left >= left &&
    box.left + box.width <= left + width &&
    box.top >= top &&
    box.top + box.height <= top + height
  );
}

/** How many stretches of line and how many names a box would lie on; a name weighs more. */
function crowdIn(box: Box, paths: readonly (readonly Point[])[], taken: readonly Box[]): number {
  const air = 3 * devicePixelRatio;
  const right = box.left + box.width + air;
  const bottom = box.top + box.height + air;
  let crowd = 0;
  for (const path of paths) {
    for (const [i, point] of path.entries()) {
      const before = path[i - 1] ?? point;
      if (
        Math.max(before.x, point.x) >= box.left - air &&
        Math.min(before.x, point.x) <= right &&
        Math.max(before.y, point.y) >= box.top - air &&
        Math.min(before.y, point.y) <= bottom
      )
        crowd += 1;
    }
  }
  const isOver = (other: Box) =>
    other.left < right &&
    other.left + other.width > box.left - air &&
    other.top < bottom &&
    other.top + other.height > box.top - air;
  return crowd + 1000 * taken.filter(isOver).length;
}
