import { itemAt, maxOf, minOf } from "#distributions/lists.ts";
import { plainDecimal } from "./scale.ts";

/** How a mark looks. Each differs from its neighbours without colour: by weight, by dash, by fill. */
export type Look = "firm" | "thin" | "dashed" | "dotted" | "long" | "grid" | "ground" | "full" | "hollow";

export type Point = readonly [x: number, y: number];

/** A mark in the picture's own units, y downwards. */
export type PictureMark =
  | { readonly kind: "line"; readonly look: Look; readonly points: readonly Point[] }
  | { readonly kind: "area"; readonly look: Look; readonly points: readonly Point[] }
  | { readonly kind: "dot"; readonly look: Look; readonly at: Point; readonly radius: number }
  | {
      readonly kind: "words";
      readonly at: Point;
      readonly text: string;
      readonly anchor: "start" | "middle" | "end";
      readonly isFirm?: boolean;
      /** Written upwards, as along an axis. */
      readonly isUpright?: boolean;
    };

/** What a place of a picture stands for: a lot's dot, a bar, a point of a line. */
export interface PictureReading {
  readonly at: Point;
  /** Of which lot, bar or line. */
  readonly name: string;
  /** All its numbers; a label names its unit. */
  readonly values: readonly { readonly label: string; readonly value: number }[];
}

/** A picture as numbers and words: the screen and the sheet print the same one. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  /** One sentence that says what it shows. */
  readonly name: string;
  readonly marks: readonly PictureMark[];
  /** What can be read out of it, in the order in which keys walk along; the numbers it is drawn from. */
  readonly readings?: readonly PictureReading[];
}

export interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** A scale from values to the picture's units. */
export type Scale = (value: number) => number;

/** From values to units of the picture, straight; also beyond its ends. */
export function evenScale([from, to]: readonly [number, number], [a, b]: readonly [number, number]): Scale {
  return (value) => a + ((b - a) * (value - from)) / (to - from);
}

/** From values above zero to units of the picture, straight in their logarithm. */
export function logScale(range: readonly [number, number], units: readonly [number, number]): Scale {
  const even = evenScale([Math.log(range[0]), Math.log(range[1])], units);
  return (value) => even(Math.log(value));
}

/** Round values at steps of 1, 2 or 5 between two ends, about so many. */
export function roundTicks(from: number, to: number, about = 5): number[] {
  if (!(to > from)) return [from];
  const raw = (to - from) / about;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = ([1, 2, 5].find((s) => s * power >= raw) ?? 10) * power;
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}

/** A range that holds all values with some room at both ends, and never has no height. */
export function roomyRange(values: readonly number[], room = 0.08): readonly [number, number] {
  const [low, high] = [minOf(values), maxOf(values)];
  const spread = high > low ? high - low : Math.abs(high) || 1;
  return [low - room * spread, high + room * spread];
}

/** A rectangle from one corner to the other. */
export function box(look: Look, [x1, y1]: Point, [x2, y2]: Point): PictureMark {
  return {
    kind: "area",
    look,
    points: [
      [x1, y1],
      [x2, y1],
      [x2, y2],
      [x1, y2],
    ],
  };
}

/** A word in the picture, its base line at a point. */
export function words(
  at: Point,
  text: string,
  anchor: "start" | "middle" | "end" = "middle",
  isFirm = false,
): PictureMark {
  return { kind: "words", at, text, anchor, isFirm };
}

/** Level lines with their values on the left, and what they count. */
export function heightMarks(
  frame: Frame,
  ticks: readonly number[],
  y: Scale,
  { label, show = plainDecimal }: { readonly label: string; readonly show?: (value: number) => string },
): PictureMark[] {
  const middle = (frame.top + frame.bottom) / 2;
  return [
    ...ticks.flatMap((tick): PictureMark[] => [
      {
        kind: "line",
        look: "grid",
        points: [
          [frame.left, y(tick)],
          [frame.right, y(tick)],
        ],
      },
      words([frame.left - 6, y(tick) + 4], show(tick), "end"),
    ]),
    { kind: "words", at: [12, middle], text: label, anchor: "middle", isUpright: true },
  ];
}

/** Values below the picture, and what they count. */
export function footMarks(
  frame: Frame,
  ticks: readonly { readonly at: number; readonly label: string }[],
  label: string,
): PictureMark[] {
  return [
    ...ticks.map(({ at, label: text }) => words([at, frame.bottom + 16], text)),
    words([(frame.left + frame.right) / 2, frame.bottom + 34], label),
  ];
}

/** Pictures of one width, one below the other. */
export function stacked(pictures: readonly Picture[], name: string): Picture {
  let height = 0;
  const placed = pictures.map((picture) => {
    const down = height;
    height += picture.height;
    const moved = ([x, y]: Point): Point => [x, y + down];
    return {
      marks: picture.marks.map(
        (mark): PictureMark =>
          mark.kind === "line" || mark.kind === "area"
            ? { ...mark, points: mark.points.map(moved) }
            : { ...mark, at: moved(mark.at) },
      ),
      readings: (picture.readings ?? []).map((reading) => ({ ...reading, at: moved(reading.at) })),
    };
  });
  return {
    width: itemAt(pictures, 0).width,
    height,
    name,
    marks: placed.flatMap(({ marks }) => marks),
    readings: placed.flatMap(({ readings }) => readings),
  };
}
