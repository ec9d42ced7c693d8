import type { Limits } from "#model/numbers/jointChance.ts";
import {
  box,
  evenScale,
  type Frame,
  footMarks,
  heightMarks,
  type Picture,
  type PictureMark,
  type Point,
  roomyRange,
  roundTicks,
  type Scale,
  words,
} from "./picture.ts";
import { tellingNames } from "./tellingNames.ts";

interface Mean {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** A chart over lots in the order they were made, as the answer gives it. */
export interface DriftDrawn {
  readonly lots: readonly string[];
  readonly values: readonly number[];
  readonly chart: {
    readonly middle: number;
    readonly low: number;
    readonly high: number;
    readonly means: readonly Mean[];
    readonly alarms: readonly { readonly at: number }[];
  } | null;
}

const nameWidth = 80;
const halfLetter = 3.4;

/** Single values over the target, their limits, and the weighted mean with its own; a lot with an alarm is filled and named. */
export function driftPicture(
  { lots: named, values, chart }: DriftDrawn,
  asked: {
    readonly label: string;
    readonly name: string;
    readonly target: Limits | null;
    readonly width?: number;
    readonly height?: number;
  },
): Picture | null {
  if (values.length === 0) return null;
  const lots = tellingNames(named);
  const { label, name, target, width = 640, height = 320 } = asked;
  const frame = { left: 58, right: width - 16, top: 14, bottom: height - 42 };
  const ends = [target?.low ?? null, target?.high ?? null].filter((v) => v !== null);
  const range = roomyRange([...values, ...ends, ...(chart === null ? [] : [chart.low, chart.high])]);
  const y = evenScale(range, [frame.bottom, frame.top]);
  const x = evenScale([-0.5, Math.max(values.length - 0.5, 0.5)], [frame.left, frame.right]);
  const alarms = new Set(chart?.alarms.map(({ at }) => at) ?? []);
  const across = (value: number, look: "thin" | "dashed"): PictureMark => ({
    kind: "line",
    look,
    points: [
      [frame.left, y(value)],
      [frame.right, y(value)],
    ],
  });
  const along = (of: readonly number[], look: "firm" | "dotted"): PictureMark => ({
    kind: "line",
    look,
    points: of.map((v, i): Point => [x(i), y(v)]),
  });
  const means = chart?.means ?? [];
  const every = Math.max(1, Math.ceil((lots.length * nameWidth) / (frame.right - frame.left)));
  const middleOf = (i: number, lot: string) =>
    Math.min(Math.max(x(i), frame.left + halfLetter * lot.length - 40), width - halfLetter * lot.length);
  return {
    width,
    height,
    name,
    marks: [
      ...groundOf(target, frame, y),
      ...heightMarks(frame, roundTicks(...range), y, { label }),
      ...(chart === null
        ? []
        : [across(chart.high, "thin"), across(chart.middle, "dashed"), across(chart.low, "thin")]),
      ...(means.length === 0
        ? []
        : [
            ...[(m: Mean) => m.low, (m: Mean) => m.high].map((of) => along(means.map(of), "dotted")),
            along(
              means.map((m) => m.value),
              "firm",
            ),
          ]),
      ...values.map((v, i) => lotDot([x(i), y(v)], alarms.has(i))),
      ...alarmNames(alarms, (i) => {
        const [lot, value] = [lots[i], values[i]];
        return lot === undefined || value === undefined
          ? null
          : words([middleOf(i, lot), y(value) - 9], lot, "middle", true);
      }),
      ...footMarks(
        frame,
        lots.flatMap((lot, i) => (i % every === 0 ? [{ at: middleOf(i, lot), label: lot }] : [])),
        "lots, in the order they were made",
      ),
    ],
    readings: values.map((value, i) => ({
      at: [x(i), y(value)],
      name: named[i] ?? "",
      values: readingOf(label, value, means[i]),
    })),
  };
}

function readingOf(label: string, value: number, mean: { readonly value: number } | undefined) {
  const average = mean === undefined ? [] : [{ label: `weighted mean of ${label}`, value: mean.value }];
  return [{ label, value }, ...average];
}

/** The target as a ground, open where it has no limit. */
function groundOf(target: Limits | null, frame: Frame, y: Scale): PictureMark[] {
  if (target === null || (target.low === null && target.high === null)) return [];
  return [
    box(
      "ground",
      [frame.left, target.high === null ? frame.top : y(target.high)],
      [frame.right, target.low === null ? frame.bottom : y(target.low)],
    ),
  ];
}

/** Of alarms side by side the last is named: their names would lie on one another. */
function alarmNames(alarms: ReadonlySet<number>, name: (at: number) => PictureMark | null): PictureMark[] {
  return [...alarms].filter((i) => !alarms.has(i + 1)).flatMap((i) => name(i) ?? []);
}

const lotDot = (at: Point, isAlarm: boolean): PictureMark => ({
  kind: "dot",
  look: isAlarm ? "full" : "hollow",
  at,
  radius: isAlarm ? 5 : 4,
});
