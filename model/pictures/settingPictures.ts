import { maxOf, minOf, zip } from "#distributions/lists.ts";
import {
  evenScale,
  footMarks,
  heightMarks,
  type Picture,
  type PictureMark,
  type PictureReading,
  type Point,
  roomyRange,
  roundTicks,
  type Scale,
  words,
} from "./picture.ts";
import { plainDecimal } from "./scale.ts";
import { tellingNames } from "./tellingNames.ts";

/** A lot in a picture of settings, called by its name. */
export interface NamedPoint {
  readonly x: number;
  readonly y: number;
  readonly lot: string;
}

interface Asked {
  readonly xLabel: string;
  readonly yLabel: string;
  readonly name: string;
  readonly width?: number;
  readonly height?: number;
}

type LinePoint = { readonly x: number; readonly y: number; readonly low: number; readonly high: number };

/** Two lots' names at one height need so much room. */
const lineHeight = 13;
const letter = 6.6;

/** A result over a setting, a named dot a lot; with the line of its effect and the line's interval where they are given. */
export function settingPicture(
  points: readonly NamedPoint[],
  line: readonly LinePoint[],
  asked: Asked,
): Picture | null {
  if (points.length === 0) return null;
  const { width = 640, height = 320 } = asked;
  const frame = { left: 58, right: width - 16, top: 12, bottom: height - 42 };
  const xRange = roomyRange(points.map((p) => p.x));
  const yRange = roomyRange([...points.map((p) => p.y), ...line.flatMap((l) => [l.low, l.high])]);
  const x = evenScale(xRange, [frame.left, frame.right]);
  const y = evenScale(yRange, [frame.bottom, frame.top]);
  const path = (look: "firm" | "dotted", at: (l: LinePoint) => number): PictureMark => ({
    kind: "line",
    look,
    points: line.map((l): Point => [x(l.x), y(at(l))]),
  });
  const lines =
    line.length === 0
      ? []
      : [path("dotted", (l) => l.low), path("dotted", (l) => l.high), path("firm", (l) => l.y)];
  return {
    width,
    height,
    name: asked.name,
    marks: [
      ...heightMarks(frame, roundTicks(...yRange), y, { label: asked.yLabel }),
      ...lines,
      ...namedDots(points, x, y, frame),
      ...footMarks(frame, xTicks(xRange, x, width), asked.xLabel),
    ],
    readings: lotReadings(points, x, y, asked),
  };
}

/** A plane of the result over two settings; on ln where the result is. */
export interface SettingsPlane {
  /** The result at a pair of settings. */
  readonly at: (x: number, y: number) => number;
  /** The second setting at which the result has a value, for a first; null where it hangs on the first alone. */
  readonly yFor: (x: number, value: number) => number | null;
}

/** Lots over two settings, with lines of equal result where two settings explain it. */
export function settingsMap(
  points: readonly NamedPoint[],
  plane: SettingsPlane | null,
  asked: Asked,
): Picture | null {
  if (points.length === 0) return null;
  const { width = 640, height = 320 } = asked;
  const frame = { left: 58, right: width - 16, top: 12, bottom: height - 42 };
  const xRange = roomyRange(points.map((p) => p.x));
  const yRange = roomyRange(points.map((p) => p.y));
  const x = evenScale(xRange, [frame.left, frame.right]);
  const y = evenScale(yRange, [frame.bottom, frame.top]);
  return {
    width,
    height,
    name: asked.name,
    marks: [
      ...heightMarks(frame, roundTicks(...yRange), y, { label: asked.yLabel }),
      ...(plane === null ? [] : equalLines(plane, { xRange, yRange, x, y })),
      ...namedDots(points, x, y, frame),
      ...footMarks(frame, xTicks(xRange, x, width), asked.xLabel),
    ],
    readings: lotReadings(points, x, y, asked),
  };
}

function lotReadings(points: readonly NamedPoint[], x: Scale, y: Scale, asked: Asked): PictureReading[] {
  return points.map((p) => ({
    at: [x(p.x), y(p.y)],
    name: p.lot,
    values: [
      { label: asked.xLabel, value: p.x },
      { label: asked.yLabel, value: p.y },
    ],
  }));
}

function xTicks(range: readonly [number, number], x: Scale, width: number) {
  return roundTicks(...range, width < 450 ? 4 : 6).map((tick) => ({
    at: x(tick),
    label: plainDecimal(tick),
  }));
}

interface Axes {
  readonly xRange: readonly [number, number];
  readonly yRange: readonly [number, number];
  readonly x: Scale;
  readonly y: Scale;
}

/** Straight lines along which the result is the same, cut off at the frame, each with its value at its upper end. */
function equalLines(plane: SettingsPlane, { xRange, yRange, x, y }: Axes): PictureMark[] {
  const corners = xRange.flatMap((a) => yRange.map((b) => plane.at(a, b)));
  const [low, high] = [minOf(corners), maxOf(corners)];
  const steps = 60;
  return roundTicks(low, high, 6).flatMap((value): PictureMark[] => {
    const path = Array.from(
      { length: steps + 1 },
      (_, i) => xRange[0] + ((xRange[1] - xRange[0]) * i) / steps,
    )
      .map((at) => ({ at, up: plane.yFor(at, value) }))
      .flatMap(({ at, up }) => (up === null || up < yRange[0] || up > yRange[1] ? [] : [{ at, up }]));
    const top = path.toSorted((a, b) => b.up - a.up)[0];
    if (path.length < 2 || top === undefined) return [];
    return [
      { kind: "line", look: "thin", points: path.map(({ at, up }): Point => [x(at), y(up)]) },
      words(
        [Math.min(Math.max(x(top.at), x(xRange[0]) + 14), x(xRange[1]) - 14), y(top.up) + 12],
        plainDecimal(value),
      ),
    ];
  });
}

/** Dots with their lots' names beside them, as far as the names find room; the newest lots are named first. */
function namedDots(
  points: readonly NamedPoint[],
  x: Scale,
  y: Scale,
  frame: { readonly left: number; readonly right: number },
): PictureMark[] {
  const placed = points.map((p) => ({ ...p, at: [x(p.x), y(p.y)] as const }));
  const isClear = (left: number, right: number, height: number, boxes: readonly Box[]) =>
    boxes.every((b) => right < b.left || left > b.right || Math.abs(height - b.height) > lineHeight);
  const dots = placed.map(
    ({ at: [left, height] }): Box => ({ left: left - 5, right: left + 5, height: height + 4 }),
  );
  const named: (Box & { readonly text: string })[] = [];
  const names = tellingNames(points.map(({ lot }) => lot));
  for (const [lot, { at }] of zip(names, placed).toReversed()) {
    const [left, height] = at;
    const reach = letter * lot.length;
    const sides = [
      { left: left + 8, right: left + 8 + reach, height: height + 4 },
      { left: left - 8 - reach, right: left - 8, height: height + 4 },
    ];
    const free = sides.find(
      (s) =>
        s.left >= frame.left &&
        s.right <= frame.right &&
        isClear(s.left, s.right, s.height, named) &&
        isClear(s.left, s.right, s.height, dots),
    );
    if (free !== undefined) named.push({ ...free, text: lot });
  }
  return [
    ...placed.map(({ at }): PictureMark => ({ kind: "dot", look: "hollow", at, radius: 4.5 })),
    ...named.map(({ left, height, text }) => words([left, height], text, "start")),
  ];
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly height: number;
}
