import type uPlot from "uplot";
import type { InkFor } from "./ink.ts";
import { LineChart } from "./lineChart.tsx";

/** The mark of a limit; each is told from the others by its form. */
export const roomMarks = ["▼", "■", "▲", "●", "◆", "✚", "★"] as const;

/** A value of a lot between its limits: 0 the lower, 1 the upper. */
export interface RoomPoint {
  /** The place of its lot, counted from 0. */
  readonly lot: number;
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly isPredicted: boolean;
  readonly isOut: boolean;
}

/** A limit and what every lot has of it. */
export interface RoomLimit {
  readonly name: string;
  readonly points: readonly RoomPoint[];
  /** What is read out of each lot. */
  readonly said: readonly (string | null)[];
}

/** So far beyond the limits values are drawn where they stand; farther ones stand at the edge. */
const reach = 0.4;
const half = 3.6;

/** Every limit of every lot on one scale from lower to upper limit, the lots in the order made. */
export function RoomChart(props: {
  finding: string;
  names: readonly string[];
  /** What the ticks say of them. */
  shortNames: readonly string[];
  limits: readonly RoomLimit[];
  height: number;
}) {
  const { finding, names, shortNames, limits, height } = props;
  const places = names.map((_, i) => i);
  const points = limits.flatMap(({ points: of }) => of);
  return (
    <LineChart
      finding={finding}
      height={height}
      x={{
        label: "lots in the order made",
        range: [-0.6, names.length - 0.4],
        show: (v) => names[Math.round(v)] ?? "",
        ticks: places.map((at) => ({ at, label: shortNames[at] ?? "" })),
      }}
      y={{
        label: "",
        range: [-reach - 0.12, 1 + reach + 0.12],
        ticks: [
          { at: 0, label: "lower" },
          { at: 0.5, label: "middle" },
          { at: 1, label: "upper" },
        ],
      }}
      xs={places}
      lines={limits.map(({ name, points: of, said }) => ({
        key: name,
        label: name,
        stroke: "hidden",
        values: places.map((i) => of.find((p) => p.lot === i)?.value ?? null),
        said,
      }))}
      over={{
        marks: [
          { kind: "strip", low: 0, high: 1, label: "between the limits" },
          ...points.map((p) => ({ kind: "point" as const, x: p.lot, y: p.value, small: true })),
        ],
        paint: (u, ink) => paint(u, limits, ink),
      }}
    />
  );
}

function paint(u: uPlot, limits: readonly RoomLimit[], ink: InkFor): void {
  const { ctx, bbox } = u;
  const px = devicePixelRatio;
  const y = (v: number) => u.valToPos(Math.min(Math.max(v, -reach), 1 + reach), "y", true);
  ctx.save();
  ctx.globalCompositeOperation = "destination-over";
  ctx.fillStyle = ink("band");
  ctx.fillRect(bbox.left, y(1), bbox.width, y(0) - y(1));
  ctx.restore();
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  for (const [k, { points }] of limits.entries()) {
    const aside = limits.length < 2 ? 0 : (k / (limits.length - 1) - 0.5) * 0.66;
    for (const point of points) {
      const x = u.valToPos(point.lot + aside, "x", true);
      if (x < bbox.left || x > bbox.left + bbox.width) continue;
      const colour = ink(point.isOut ? "ink" : "accent");
      ctx.strokeStyle = colour;
      ctx.lineWidth = (point.isOut ? 2 : 1.2) * px;
      if (point.low !== null && point.high !== null) {
        ctx.beginPath();
        ctx.moveTo(x, y(point.low));
        ctx.lineTo(x, y(point.high));
        ctx.stroke();
      }
      drawMark(
        ctx,
        { x, y: y(point.value), k, size: (point.isOut ? half + 1.2 : half) * px },
        {
          fill: point.isPredicted ? ink("paper") : colour,
          line: 1.2 * px,
        },
      );
    }
  }
  ctx.restore();
}

type Pen = CanvasRenderingContext2D;

function drawMark(
  ctx: Pen,
  { x, y, k, size }: { x: number; y: number; k: number; size: number },
  look: { fill: string; line: number },
): void {
  ctx.beginPath();
  const corners = cornersOf(k % roomMarks.length);
  if (corners === null) ctx.arc(x, y, size, 0, 2 * Math.PI);
  else for (const [dx, dy] of corners) ctx.lineTo(x + dx * size, y + dy * size);
  ctx.closePath();
  ctx.fillStyle = look.fill;
  ctx.fill();
  ctx.lineWidth = look.line;
  ctx.stroke();
}

/** The corners of a mark about its middle, in halves of its size; null for a round one. */
function cornersOf(k: number): readonly (readonly [number, number])[] | null {
  switch (roomMarks[k]) {
    case "▼":
      return [
        [-1, -1],
        [1, -1],
        [0, 1.1],
      ];
    case "■":
      return [
        [-0.9, -0.9],
        [0.9, -0.9],
        [0.9, 0.9],
        [-0.9, 0.9],
      ];
    case "▲":
      return [
        [-1, 1],
        [1, 1],
        [0, -1.1],
      ];
    case "◆":
      return [
        [0, -1.3],
        [1.1, 0],
        [0, 1.3],
        [-1.1, 0],
      ];
    case "✚":
      return [
        [-0.4, -1.2],
        [0.4, -1.2],
        [0.4, -0.4],
        [1.2, -0.4],
        [1.2, 0.4],
        [0.4, 0.4],
        [0.4, 1.2],
        [-0.4, 1.2],
        [-0.4, 0.4],
        [-1.2, 0.4],
        [-1.2, -0.4],
        [-0.4, -0.4],
      ];
    case "★":
      return [
        [0, -1.4],
        [0.32, -0.44],
        [1.33, -0.43],
        [0.52, 0.17],
        [0.82, 1.13],
        [0, 0.55],
        [-0.82, 1.13],
        [-0.52, 0.17],
        [-1.33, -0.43],
        [-0.32, -0.44],
      ];
    default:
      return null;
  }
}
