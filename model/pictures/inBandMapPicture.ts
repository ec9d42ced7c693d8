import { zip } from "#distributions/lists.ts";
import type { HeightGrid } from "./contours.ts";
import type { InBandMap, MapMark } from "./inBandMap.ts";
import { footMarks, type Picture, type PictureMark, type Point, words } from "./picture.ts";

/**
 * The map as marks for paper: contours as lines with their chances beside them, without grounds, so that it prints in black.
 *
 * @param map    as drawn for the screen, in its own units
 * @param grid   what it is drawn from: speeds in rpm, flows in m³/h, chances; read out place by place
 * @param name   one sentence that says what it shows
 */
export function inBandMapPicture(map: InBandMap, grid: HeightGrid, name: string): Picture {
  const { width, height, frame, contours, xTicks, yTicks, marks, ratedAt } = map;
  const corners: Point[] = [
    [frame.left, frame.top],
    [frame.right, frame.top],
    [frame.right, frame.bottom],
    [frame.left, frame.bottom],
    [frame.left, frame.top],
  ];
  const upright = { kind: "words", anchor: "middle", isUpright: true } as const;
  return {
    width,
    height,
    name,
    marks: [
      { kind: "line", look: "thin", points: corners },
      ...contours.flatMap(({ line }) => pathLines(line)),
      ...contours.flatMap(({ label, labelAt }) =>
        labelAt === null ? [] : [words([labelAt.x, labelAt.y + 4], label)],
      ),
      ...(ratedAt === null
        ? []
        : [
            {
              kind: "line",
              look: "firm",
              points: [
                [ratedAt, frame.top],
                [ratedAt, frame.bottom],
              ],
            } as const,
            words([ratedAt - 8, frame.bottom - 8], "rated speed", "end"),
          ]),
      ...marks.flatMap(markOf),
      ...footMarks(frame, xTicks, "wheel speed, rpm"),
      ...yTicks.map(({ at, label }) => words([frame.left - 8, at + 4], label, "end")),
      { ...upright, at: [14, (frame.top + frame.bottom) / 2], text: "gas flow, m³/h" },
    ],
    readings: zip(grid.ys, grid.values).flatMap(([flow, row]) =>
      zip(grid.xs, row).map(([speed, chance]) => ({
        at: [0, 0] as const,
        name: "map",
        values: [
          { label: "wheel speed, rpm", value: speed },
          { label: "gas flow, m³/h", value: flow },
          { label: "chance of being in band, %", value: 100 * chance },
        ],
      })),
    ),
  };
}

/** The strokes of SVG path text of straight lines, in its own units. */
function pathLines(path: string): PictureMark[] {
  return path
    .split("M")
    .filter((stroke) => stroke !== "")
    .map((stroke) => ({
      kind: "line",
      look: "thin",
      points: stroke.split("L").map((place): Point => {
        const [x, y] = place.trim().split(/[\s,]+/);
        return [Number(x), Number(y)];
      }),
    }));
}

function markOf({ kind, x, y, label, side, labelDown }: MapMark): PictureMark[] {
  const isLeft = side === "left";
  return [
    {
      kind: "dot",
      look: kind === "best" ? "full" : "hollow",
      at: [x, y],
      radius: kind === "trial" ? 3.5 : 6,
    },
    ...(label === ""
      ? []
      : [words([isLeft ? x - 10 : x + 10, y + labelDown], label, isLeft ? "end" : "start", true)]),
  ];
}
