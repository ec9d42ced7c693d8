import { maxOf, zip } from "#distributions/lists.ts";
import {
  evenScale,
  footMarks,
  heightMarks,
  type Look,
  type Picture,
  type PictureMark,
  type PictureReading,
  roundTicks,
  words,
} from "./picture.ts";
import { plainDecimal } from "./scale.ts";

/** One powder's percentile-ratio line. */
export interface RatioLine {
  readonly name: string;
  /** ln(D_p / D_p of the reference) at each per cent; null where one is not known. */
  readonly lnRatios: readonly (number | null)[];
}

const looks: readonly Look[] = ["dashed", "long", "dotted", "thin"];
const lineHeight = 13;
const letterWidth = 6.4;
/** The line never fills more than a few per cent with noise alone. */
const leastReach = Math.log(1.02);

/**
 * How much coarser or finer each percentile is than the reference's, with what the reference's own runs differ by as the
 * ground. A level line is the same powder at another size; a tilted one is wider or narrower.
 */
export function ratioLine(
  lines: readonly RatioLine[],
  noise: readonly (number | null)[] | null,
  percents: readonly number[],
  asked: { readonly name: string; readonly width?: number; readonly height?: number },
): Picture | null {
  const { name, width = 720 } = asked;
  const widest = letterWidth * maxOf(lines.map((l) => l.name.length));
  // Names that would leave the lines no room stand beneath them, and numbers at the ends of the lines.
  const isKeyed = 20 + widest > 0.34 * width;
  const keyHeight = isKeyed ? lineHeight * lines.length + 6 : 0;
  const { height = Math.max(260, 70 + lineHeight * lines.length) + keyHeight } = asked;
  const known = lines.flatMap((l) => l.lnRatios.filter((v) => v !== null));
  if (known.length === 0) return null;
  // Where the scatter is not known it has no width to draw.
  const ground = (noise ?? []).map((v) => v ?? 0);
  const low = 1.1 * Math.min(...known, ...ground.map((v) => -v), -leastReach);
  const high = 1.1 * Math.max(...known, ...ground, leastReach);
  const frame = {
    left: 58,
    right: width - (isKeyed ? 26 : 20 + widest),
    top: 10,
    bottom: height - 40 - keyHeight,
  };
  const [first = 5, last = 95] = [percents[0], percents.at(-1)];
  const x = evenScale([first, last], [frame.left, frame.right]);
  const y = evenScale([low, high], [frame.bottom, frame.top]);
  const ticks = roundTicks(100 * Math.expm1(low), 100 * Math.expm1(high), 6);
  const inPercent = (value: number) => y(Math.log1p(value / 100));
  return {
    width,
    height,
    name,
    marks: [
      ...(ground.length < 2 ? [] : [groundOf(ground, percents, x, y)]),
      ...heightMarks(frame, ticks, inPercent, { label: "% coarser", show: signed }),
      { kind: "line", look: "thin", points: [first, last].map((p): [number, number] => [x(p), y(0)]) },
      ...lines.map(
        (line, i): PictureMark => ({
          kind: "line",
          look: looks[i % looks.length] ?? "thin",
          points: zip(percents, line.lnRatios).flatMap(([p, v]): [number, number][] =>
            v === null ? [] : [[x(p), y(v)]],
          ),
        }),
      ),
      ...namesOf(
        isKeyed ? lines.map((line, i) => ({ ...line, name: `${i + 1}` })) : lines,
        y,
        frame.right + 6,
        [frame.top + 8, frame.bottom],
      ),
      ...footMarks(
        frame,
        (x(25) - x(10) < 40 ? [10, 50, 90] : [10, 25, 50, 75, 90]).map((p) => ({ at: x(p), label: `D${p}` })),
        "percentile",
      ),
      ...(isKeyed
        ? lines.map((line, i) =>
            words([4, frame.bottom + 40 + lineHeight * (i + 1)], `${i + 1}  ${line.name}`, "start"),
          )
        : []),
    ],
    readings: lines.flatMap((line) =>
      zip(percents, line.lnRatios).flatMap(([p, v]): PictureReading[] =>
        v === null
          ? []
          : [
              {
                at: [x(p), y(v)],
                name: `${line.name}, D${p}`,
                values: [{ label: "coarser than the reference, %", value: 100 * Math.expm1(v) }],
              },
            ],
      ),
    ),
  };
}

function signed(percent: number): string {
  return `${percent > 0 ? "+" : percent < 0 ? "−" : ""}${plainDecimal(Math.abs(percent))}`;
}

function groundOf(
  ground: readonly number[],
  percents: readonly number[],
  x: (p: number) => number,
  y: (v: number) => number,
): PictureMark {
  const edge = (side: 1 | -1) => zip(percents, ground).map(([p, v]): [number, number] => [x(p), y(side * v)]);
  return { kind: "area", look: "ground", points: [...edge(1), ...edge(-1).reverse()] };
}

/** Names at the ends of their lines, pushed apart where they would lie on one another. */
function namesOf(
  lines: readonly RatioLine[],
  y: (v: number) => number,
  left: number,
  [top, bottom]: readonly [number, number],
): PictureMark[] {
  const wanted = lines
    .flatMap(({ name, lnRatios }) => {
      const end = lnRatios.filter((v) => v !== null).at(-1);
      return end === undefined ? [] : [{ name, at: y(end) + 4 }];
    })
    .sort((a, b) => a.at - b.at);
  let free = top;
  const down = wanted.map(({ name, at }) => {
    const placed = Math.max(at, free);
    free = placed + lineHeight;
    return { name, at: placed };
  });
  let limit = bottom;
  return down
    .reverse()
    .map(({ name, at }) => {
      const placed = Math.min(at, limit);
      limit = placed - lineHeight;
      return words([left, placed], name, "start");
    })
    .reverse();
}
