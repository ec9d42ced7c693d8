import { itemAt } from "#distributions/lists.ts";
import { limitBeyond } from "#model/band/limits.ts";
import type { Individuals } from "#model/factors/individuals.ts";
import type { Limits } from "#model/numbers/jointChance.ts";
import {
  box,
  evenScale,
  footMarks,
  heightMarks,
  type Look,
  type Picture,
  type PictureMark,
  roomyRange,
  roundTicks,
  words,
} from "./picture.ts";

const height = 250;
/** A name below the picture needs about so much width. */
const nameWidth = 78;
/** Half the width of a letter. */
const halfLetter = 3.6;

interface LotChartAsked {
  readonly label: string;
  readonly name: string;
  readonly target?: Limits | null;
  readonly width?: number;
}

/**
 * Values of lots in their order, over the target as a ground, as a band is drawn everywhere; the limits of a chart of
 * single values are thin lines, its middle a dashed one. A value that completes a rule or lies outside the target is
 * filled and bears its lot's name.
 */
export function lotChart(
  values: readonly number[],
  lots: readonly string[],
  chart: Individuals | null,
  { label, name, target = null, width = 720 }: LotChartAsked,
): Picture | null {
  if (values.length === 0) return null;
  const frame = { left: 58, right: width - 16, top: 14, bottom: height - 42 };
  const asked = [target?.low ?? null, target?.high ?? null].filter((v) => v !== null);
  const range = roomyRange([...values, ...asked, ...(chart === null ? [] : [chart.low, chart.high])]);
  const y = evenScale(range, [frame.bottom, frame.top]);
  const x = evenScale([-0.5, Math.max(values.length - 0.5, 0.5)], [frame.left, frame.right]);
  const hits = new Set([
    ...(chart?.hits.map((h) => h.at) ?? []),
    ...values.flatMap((v, i) => (target === null || limitBeyond(v, target) === null ? [] : [i])),
  ]);
  const every = Math.max(1, Math.ceil((lots.length * nameWidth) / (frame.right - frame.left)));
  // The last lot's name would run out of the picture: it is moved in by what its letters take.
  const middleOf = (i: number, lot: string) => Math.min(x(i), width - halfLetter * lot.length);
  const level = (value: number, look: Look): PictureMark => ({
    kind: "line",
    look,
    points: [
      [frame.left, y(value)],
      [frame.right, y(value)],
    ],
  });
  return {
    width,
    height,
    name,
    marks: [
      ...(asked.length === 0
        ? []
        : [
            box(
              "ground",
              [frame.left, target?.high == null ? frame.top : y(target.high)],
              [frame.right, target?.low == null ? frame.bottom : y(target.low)],
            ),
          ]),
      ...(chart === null
        ? []
        : [level(chart.high, "thin"), level(chart.middle, "dashed"), level(chart.low, "thin")]),
      ...heightMarks(frame, roundTicks(...range), y, { label }),
      { kind: "line", look: "thin", points: values.map((v, i) => [x(i), y(v)]) },
      ...values.map(
        (v, i): PictureMark => ({
          kind: "dot",
          look: hits.has(i) ? "full" : "hollow",
          at: [x(i), y(v)],
          radius: hits.has(i) ? 5 : 4,
        }),
      ),
      // Of hits side by side the last is named: their names would lie on one another.
      ...[...hits]
        .filter((i) => !hits.has(i + 1))
        .map((i) => {
          const lot = shortened(itemAt(lots, i));
          return words([middleOf(i, lot), y(itemAt(values, i)) - 9], lot, "middle", true);
        }),
      ...footMarks(
        frame,
        lots
          .map(shortened)
          .flatMap((lot, i) => (i % every === 0 ? [{ at: middleOf(i, lot), label: lot }] : [])),
        "lots, in the order they were made",
      ),
    ],
  };
}

/** The end of a name tells lots apart. */
function shortened(lot: string): string {
  return lot.length <= 12 ? lot : `…${lot.slice(-11)}`;
}
