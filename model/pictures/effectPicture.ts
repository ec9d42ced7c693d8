import { maxOf, minOf } from "#distributions/lists.ts";
import type { RegressionLine } from "#model/numbers/line.ts";
import {
  evenScale,
  footMarks,
  heightMarks,
  type Picture,
  type PictureMark,
  roomyRange,
  roundTicks,
} from "./picture.ts";
import { plainDecimal } from "./scale.ts";

const height = 280;

/** A result over a setting, a dot a lot; the fitted line only where the lots suffice to fit one. */
export function effectPicture(
  points: readonly { readonly x: number; readonly y: number; readonly lot: string }[],
  line: RegressionLine | null,
  asked: { readonly xLabel: string; readonly yLabel: string; readonly name: string; readonly width?: number },
): Picture | null {
  if (points.length === 0) return null;
  const { xLabel, yLabel, name, width = 720 } = asked;
  const frame = { left: 58, right: width - 16, top: 12, bottom: height - 42 };
  const xRange = roomyRange(points.map((p) => p.x));
  const yRange = roomyRange(points.map((p) => p.y));
  const x = evenScale(xRange, [frame.left, frame.right]);
  const y = evenScale(yRange, [frame.bottom, frame.top]);
  const ends = [minOf(points.map((p) => p.x)), maxOf(points.map((p) => p.x))];
  return {
    width,
    height,
    name,
    marks: [
      ...heightMarks(frame, roundTicks(...yRange), y, { label: yLabel }),
      ...(line === null
        ? []
        : [
            {
              kind: "line",
              look: "firm",
              points: ends.map((at): [number, number] => [x(at), y(line.intercept + line.slope * at)]),
            } satisfies PictureMark,
          ]),
      ...points.map((p): PictureMark => ({ kind: "dot", look: "hollow", at: [x(p.x), y(p.y)], radius: 4.5 })),
      ...footMarks(
        frame,
        roundTicks(...xRange, width < 450 ? 4 : 6).map((tick) => ({
          at: x(tick),
          label: plainDecimal(tick),
        })),
        xLabel,
      ),
    ],
    readings: points.map((p) => ({
      at: [x(p.x), y(p.y)],
      name: p.lot,
      values: [
        { label: xLabel, value: p.x },
        { label: yLabel, value: p.y },
      ],
    })),
  };
}
