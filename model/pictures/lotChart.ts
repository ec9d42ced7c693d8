import type { Individuals } from "#model/compare/individuals.ts";
import {
  box,
  evenScale,
  footMarks,
  heightMarks,
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

/**
 * Values of lots in their order, with the limits of a chart of single values as a ground and its middle as a line; a
 * value that completes a rule is filled and bears its lot's name.
 */
export function lotChart(
  values: readonly number[],
  lots: readonly string[],
  chart: Individuals | null,
  { label, name, width = 720 }: { readonly label: string; readonly name: string; readonly width?: number },
): Picture | null {
  if (values.length === 0) return null;
  const frame = { left: 58, right: width - 16, top: 14, bottom: height - 42 };
  const range = roomyRange([...values, ...(chart === null ? [] : [chart.low, chart.high])]);
  const y = evenScale(range, [frame.bottom, frame.top]);
  const x = evenScale([-0.5, Math.max(values.length - 0.5, 0.5)], [frame.left, frame.right]);
  const hits = new Set(chart?.hits.map((h) => h.at) ?? []);
  const every = Math.max(1, Math.ceil((lots.length * nameWidth) / (frame.right - frame.left)));
  // The last lot's name would run out of the picture: it is moved in by what its letters take.
  const middleOf = (i: number, lot: string) => Math.min(x(i), width - halfLetter * lot.length);
  const level = (value: number): PictureMark => ({
    kind: "line",
    look: "dashed",
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
      ...(chart === null
        ? []
        : [box("ground", [frame.left, y(chart.high)], [frame.right, y(chart.low)]), level(chart.middle)]),
      ...heightMarks(frame, roundTicks(...range), y, label),
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
          const lot = shortened(lots[i] ?? "");
          return words([middleOf(i, lot), y(values[i] ?? 0) - 9], lot, "middle", true);
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
