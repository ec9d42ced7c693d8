import {
  box,
  evenScale,
  type Frame,
  footMarks,
  heightMarks,
  type Look,
  logScale,
  type Picture,
  type PictureMark,
  type Point,
  roundTicks,
  type Scale,
  words,
} from "./picture.ts";
import { decadeTicks, plainDecimal } from "./scale.ts";

export interface ChartAxis {
  readonly label: string;
  readonly range: readonly [number, number];
  readonly log?: boolean;
  readonly ticks?: readonly { readonly at: number; readonly label: string }[];
}

/** A chart as numbers: what its lines and fills are at each x. A value that is not known is null. */
export interface Chart {
  readonly name: string;
  readonly x: ChartAxis;
  readonly y: ChartAxis;
  readonly xs: readonly number[];
  readonly lines: readonly {
    readonly label: string;
    readonly look: Look;
    readonly values: readonly (number | null)[];
  }[];
  readonly fills: readonly {
    readonly high: readonly (number | null)[];
    readonly low: readonly (number | null)[];
  }[];
  readonly marks: readonly ChartMark[];
}

/** What stands on a chart beside its lines. */
export type ChartMark =
  | { readonly kind: "point"; readonly x: number; readonly y: number; readonly small?: boolean }
  | { readonly kind: "wall"; readonly x: number; readonly label: string }
  | { readonly kind: "pointer"; readonly x: number; readonly label: string }
  | { readonly kind: "strip"; readonly low: number; readonly high: number; readonly label: string };

/** How large a picture is, in its own units: letters are twelve of them high. */
export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

const usual: PictureSize = { width: 760, height: 400 };
const lineHeight = 15;
/** A letter's mean width, with which the room for names right of the lines is reckoned, and that room's limits. */
const letterWidth = 6.6;
const namesRoom = { least: 14, most: 200 };
/** Before each name stands a piece of its line where the picture is laid out for its size. */
const sampleEnd = 26;
const usualRoom = 170;

/**
 * A chart as a picture that can be kept: black-and-white safe, each line with its name at its end. Left out, it has the
 * usual size with much room for names; otherwise as much as the longest name needs.
 */
export function chartPicture(chart: Chart, size: PictureSize | null = null): Picture {
  const { name, x, y, xs, lines, fills, marks } = chart;
  const frame = frameOf(chart, size);
  const across = scaleOf(x, [frame.left, frame.right]);
  const up = scaleOf(y, [frame.bottom, frame.top]);
  const pointsOf = (values: readonly (number | null)[]) =>
    xs.flatMap((at, i): Point[] => {
      const value = values[i] ?? null;
      return value === null ? [] : [[across(at), clamped(up(value), frame)]];
    });
  const areas = fills.map(
    ({ high, low }): PictureMark => ({
      kind: "area",
      look: "ground",
      points: [...pointsOf(high), ...pointsOf(low).reverse()],
    }),
  );
  const drawn = lines.map(({ label, look, values }) => ({ label, look, points: pointsOf(values) }));
  return {
    ...(size ?? usual),
    name,
    marks: [
      ...heightMarks(
        frame,
        ticksOf(y).map((t) => t.at),
        up,
        { label: y.label, show: (v) => labelOf(y, v) },
      ),
      ...footMarks(
        frame,
        ticksOf(x).map((t) => ({ at: across(t.at), label: t.label })),
        x.label,
      ),
      ...areas.filter((a) => a.kind === "area" && a.points.length > 2),
      ...marks.flatMap((mark) => stripMarks(mark, up, frame)),
      ...drawn.map(({ look, points }): PictureMark => ({ kind: "line", look, points })),
      ...endNames(drawn, frame, size !== null),
      ...marks.flatMap((mark) => standingMarks(mark, { across, up, frame })),
    ],
  };
}

function frameOf({ lines }: Chart, size: PictureSize | null): Frame {
  const { width, height } = size ?? usual;
  const wanted = sampleEnd + 12 + letterWidth * Math.max(0, ...lines.map(({ label }) => label.length));
  const room =
    size === null ? usualRoom : Math.min(Math.max(wanted, namesRoom.least), namesRoom.most, width * 0.4);
  return { left: 60, right: width - room, top: 14, bottom: height - 50 };
}

function stripMarks(mark: ChartMark, up: Scale, frame: Frame): PictureMark[] {
  if (mark.kind !== "strip") return [];
  const [top, bottom] = [clamped(up(mark.high), frame), clamped(up(mark.low), frame)];
  return [
    box("ground", [frame.left, top], [frame.right, bottom]),
    words([frame.left + 8, (top + bottom) / 2 + 4], mark.label, "start"),
  ];
}

function standingMarks(
  mark: ChartMark,
  { across, up, frame }: { readonly across: Scale; readonly up: Scale; readonly frame: Frame },
): PictureMark[] {
  if (mark.kind === "strip") return [];
  const x = across(mark.x);
  if (x < frame.left - 1 || x > frame.right + 1) return [];
  if (mark.kind === "point")
    return [
      {
        kind: "dot",
        look: "hollow",
        at: [x, clamped(up(mark.y), frame)],
        radius: mark.small === true ? 2 : 4,
      },
    ];
  const isRight = x > (frame.left + frame.right) / 2;
  // A wall is named at the top, the pointer at the foot, so that they never meet.
  const height = mark.kind === "wall" ? frame.top + 10 : frame.bottom - 6;
  return [
    {
      kind: "line",
      look: mark.kind === "wall" ? "firm" : "thin",
      points: [
        [x, frame.top],
        [x, frame.bottom],
      ],
    },
    words([x + (isRight ? -6 : 6), height], mark.label, isRight ? "end" : "start"),
  ];
}

function scaleOf({ range, log }: ChartAxis, units: readonly [number, number]): Scale {
  return log === true ? logScale(range, units) : evenScale(range, units);
}

function clamped(y: number, frame: Frame): number {
  return Math.min(Math.max(y, frame.top), frame.bottom);
}

function ticksOf(axis: ChartAxis): readonly { readonly at: number; readonly label: string }[] {
  if (axis.ticks !== undefined) return axis.ticks;
  const [from, to] = axis.range;
  const at = axis.log === true ? decadeTicks(from, to) : roundTicks(from, to);
  return at.map((value) => ({ at: value, label: plainDecimal(value) }));
}

function labelOf(axis: ChartAxis, value: number): string {
  return axis.ticks?.find((t) => t.at === value)?.label ?? plainDecimal(value);
}

/** Names right of the lines' ends, moved apart where the ends meet. */
function endNames(
  lines: readonly { readonly label: string; readonly look: Look; readonly points: readonly Point[] }[],
  frame: Frame,
  hasSamples: boolean,
): PictureMark[] {
  const ends = lines
    .flatMap(({ label, look, points }) => {
      const end = points.at(-1);
      return label === "" || end === undefined ? [] : [{ label, look, x: end[0], y: end[1] }];
    })
    .sort((a, b) => a.y - b.y);
  let last = Number.NEGATIVE_INFINITY;
  return ends.flatMap(({ label, look, x, y }): PictureMark[] => {
    last = Math.max(y, last + lineHeight);
    const from = Math.max(x, frame.right) + 6;
    if (!hasSamples) return [words([from, last + 4], label, "start")];
    const points: readonly Point[] = [
      [from, last],
      [from + sampleEnd - 4, last],
    ];
    return [{ kind: "line", look, points }, words([from + sampleEnd, last + 4], label, "start")];
  });
}
