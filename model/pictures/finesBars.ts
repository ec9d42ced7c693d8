import { itemAt, maxOf } from "#distributions/lists.ts";
import type { Estimate } from "#model/lot/leaveOneOut.ts";
import { signedFigures } from "#model/words/wording.ts";
import {
  box,
  evenScale,
  heightMarks,
  type Picture,
  type PictureMark,
  type PictureReading,
  type Point,
  roundTicks,
  stacked,
  words,
} from "./picture.ts";
import { plainDecimal } from "./scale.ts";

/** One step's entries of the fines balance. */
export interface FinesStep {
  readonly from: string;
  readonly to: string;
  readonly fines: readonly {
    readonly belowUm: number;
    readonly points: Estimate;
    readonly grams: { readonly change: Estimate } | null;
  }[];
}

/** Three bars with their figures need so much width; with less, steps stand one below the other. */
const stepWidth = 170;

/**
 * The fines balance as bars: up is fines made, filled; down is fines lost, hollow; the whisker is the interval. Points, and
 * grams where masses are known, stand beside each bar.
 *
 * @returns null where no step has an entry
 */
export function finesBars(
  steps: readonly FinesStep[],
  {
    name,
    width = 720,
    height = 250,
  }: { readonly name: string; readonly width?: number; readonly height?: number },
): Picture | null {
  const entries = steps.flatMap((s, step) =>
    s.fines.flatMap(({ belowUm, points, grams }, i) =>
      points.value === null ? [] : [{ step, i, belowUm, value: points.value, points, grams }],
    ),
  );
  if (entries.length === 0) return null;
  if (steps.length > 1 && width < stepWidth * steps.length) {
    const each = steps.flatMap((step) => finesBars([step], { name, width, height }) ?? []);
    return stacked(each, name);
  }
  const frame = { left: 52, right: width - 8, top: 28, bottom: height - 46 };
  const ends = entries.flatMap(({ value, points: { interval } }) =>
    interval === null ? [value] : [value, interval.low, interval.high],
  );
  const [low, high] = [Math.min(0, ...ends), Math.max(0, ...ends)];
  // Below a bar of lost fines stand its points and, a line lower, its grams.
  const isLostInGrams = entries.some((e) => e.value < 0 && e.grams?.change.value != null);
  const y = evenScale([low, high > low ? high : 1], [frame.bottom - (isLostInGrams ? 28 : 16), frame.top]);
  const group = (frame.right - frame.left) / steps.length;
  const count = maxOf(steps.map((s) => s.fines.length));
  const slot = (0.86 * group) / count;
  const middleOf = (e: { readonly step: number; readonly i: number }) =>
    frame.left + group * e.step + 0.07 * group + slot * (e.i + 0.5);
  return {
    width,
    height,
    name,
    marks: [
      ...heightMarks(frame, roundTicks(low, high > low ? high : 1, 4), y, {
        label: "points below size in µm",
      }),
      ...entries.flatMap((e): PictureMark[] => {
        const middle = middleOf(e);
        const half = Math.min(0.3 * slot, 18);
        const { interval } = e.points;
        const grams = e.grams?.change.value ?? null;
        const top = Math.min(y(e.value), y(interval?.high ?? e.value), y(0)) - 5;
        const bottom = Math.max(y(e.value), y(interval?.low ?? e.value), y(0)) + 13;
        const isUp = e.value >= 0;
        return [
          box(isUp ? "ground" : "hollow", [middle - half, y(e.value)], [middle + half, y(0)]),
          ...(interval === null ? [] : [whisker(middle, y(interval.low), y(interval.high))]),
          words([middle, isUp ? top : bottom], signedFigures(e.value), "middle", true),
          ...(grams === null
            ? []
            : [words([middle, isUp ? top - 12 : bottom + 12], `${signedFigures(grams)} g`)]),
          words([middle, frame.bottom + 14], `<${plainDecimal(e.belowUm)}`),
        ];
      }),
      {
        kind: "line",
        look: "thin",
        points: [
          [frame.left, y(0)],
          [frame.right, y(0)],
        ],
      },
      ...steps.map((s, i) =>
        words([frame.left + group * (i + 0.5), frame.bottom + 34], `${s.from} → ${s.to}`),
      ),
    ],
    readings: entries.map((e) => readingOf(itemAt(steps, e.step), e, [middleOf(e), y(e.value)])),
  };
}

interface Bar {
  readonly belowUm: number;
  readonly value: number;
  readonly points: Estimate;
  readonly grams: { readonly change: Estimate } | null;
}

function readingOf({ from, to }: FinesStep, bar: Bar, at: Point): PictureReading {
  const { belowUm, value, points, grams } = bar;
  const { interval } = points;
  const change = grams?.change.value ?? null;
  return {
    at,
    name: `${from} → ${to}, below ${plainDecimal(belowUm)} µm`,
    values: [
      { label: "change, points", value },
      ...(interval === null
        ? []
        : [
            { label: "95 % from, points", value: interval.low },
            { label: "95 % to, points", value: interval.high },
          ]),
      ...(change === null ? [] : [{ label: "change, g", value: change }]),
    ],
  };
}

function whisker(x: number, from: number, to: number): PictureMark {
  return {
    kind: "line",
    look: "thin",
    points: [
      [x - 3, from],
      [x + 3, from],
      [x, from],
      [x, to],
      [x - 3, to],
      [x + 3, to],
    ],
  };
}
