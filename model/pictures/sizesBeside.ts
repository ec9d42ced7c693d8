import { itemAt, maxOf, minOf, neighbours } from "#distributions/lists.ts";
import type { OverRuns } from "#model/lot/overRuns.ts";
import { figures } from "#model/words/wording.ts";
import {
  footMarks,
  type Look,
  logScale,
  type Picture,
  type PictureMark,
  type PictureReading,
  words,
} from "./picture.ts";
import { decadeTicks, plainDecimal } from "./scale.ts";

/** A stage or a lot by its D10, D50 and D90 over its runs, µm. */
export interface SizesOf {
  readonly name: string;
  readonly d10Um: OverRuns;
  readonly d50Um: OverRuns;
  readonly d90Um: OverRuns;
}

const kinds = [
  { label: "D10", look: "hollow", of: (row: SizesOf) => row.d10Um },
  { label: "D50", look: "full", of: (row: SizesOf) => row.d50Um },
  { label: "D90", look: "hollow", of: (row: SizesOf) => row.d90Um },
] as const satisfies readonly {
  readonly label: string;
  readonly look: Look;
  readonly of: (row: SizesOf) => OverRuns;
}[];

const letterWidth = 6.6;
/** Words of neighbouring sizes stand so far apart, else the outer one is left to the reading. */
const wordRoom = 40;

/**
 * Stages or lots below one another on one axis of sizes: a line from D10 to D90, D50 filled, each with its interval.
 * @returns null where no size is known
 */
export function sizesBeside(
  rows: readonly SizesOf[],
  asked: { readonly name: string; readonly width?: number },
): Picture | null {
  const { name, width = 720 } = asked;
  const ends = rows.flatMap((row) =>
    kinds.flatMap(({ of }) => [of(row).value, of(row).low, of(row).high].filter((v) => v !== null)),
  );
  if (ends.length === 0) return null;
  const widest = letterWidth * maxOf(rows.map((row) => row.name.length));
  // Names that would leave the sizes no room stand above their lines.
  const isAbove = widest > 0.34 * width;
  const rowHeight = isAbove ? 48 : 36;
  const top = 18;
  const frame = {
    left: isAbove ? 16 : widest + 20,
    right: width - 24,
    top,
    bottom: top + rowHeight * rows.length,
  };
  const range = [minOf(ends) / 1.15, maxOf(ends) * 1.15] as const;
  const x = logScale(range, [frame.left, frame.right]);
  const lineAt = (i: number) => frame.top + rowHeight * (i + 1) - 12;
  const ticks = decadeTicks(...range);
  const spaced = ticks.length * 36 < frame.right - frame.left ? ticks : ticks.filter((_, i) => i % 2 === 0);
  return {
    width,
    height: frame.bottom + 40,
    name,
    marks: [
      ...spaced.map(
        (um): PictureMark => ({
          kind: "line",
          look: "grid",
          points: [
            [x(um), frame.top],
            [x(um), frame.bottom],
          ],
        }),
      ),
      ...rows.flatMap((row, i) => [
        words(isAbove ? [frame.left, lineAt(i) - 22] : [4, lineAt(i) + 4], row.name, "start", true),
        ...rowMarks(row, x, lineAt(i)),
      ]),
      ...namesAbove(rows, x, frame.top - 6),
      ...footMarks(
        frame,
        spaced.map((um) => ({ at: x(um), label: plainDecimal(um) })),
        "size, µm",
      ),
    ],
    readings: rows.flatMap((row, i) =>
      kinds.flatMap(({ label, of }): PictureReading[] => {
        const { value, low, high, level } = of(row);
        if (value === null) return [];
        const share = plainDecimal(100 * level);
        const interval =
          low === null || high === null
            ? []
            : [
                { label: `${share} % from, µm`, value: low },
                { label: `${share} % to, µm`, value: high },
              ];
        return [
          {
            at: [x(value), lineAt(i)],
            name: `${row.name}, ${label}`,
            values: [{ label: "size, µm", value }, ...interval],
          },
        ];
      }),
    ),
  };
}

/** The sizes of one stage or lot: the line between them, their intervals, their marks, and their numbers above. */
function rowMarks(row: SizesOf, x: (um: number) => number, y: number): PictureMark[] {
  const known = kinds.flatMap((kind) => {
    const { value, low, high } = kind.of(row);
    return value === null ? [] : [{ ...kind, value, low, high }];
  });
  const middle = known.find(({ label }) => label === "D50");
  return [
    { kind: "line", look: "thin", points: known.map(({ value }) => [x(value), y]) },
    ...known.flatMap(({ low, high }): PictureMark[] =>
      low === null || high === null
        ? []
        : [
            {
              kind: "line",
              look: "thin",
              points: [
                [x(low), y - 5],
                [x(low), y + 5],
                [x(low), y],
                [x(high), y],
                [x(high), y - 5],
                [x(high), y + 5],
              ],
            },
          ],
    ),
    ...known.map(({ value, look }): PictureMark => ({ kind: "dot", look, at: [x(value), y], radius: 4 })),
    ...known
      .filter(
        (k) => k === middle || middle === undefined || Math.abs(x(k.value) - x(middle.value)) > wordRoom,
      )
      .map((k) => words([x(k.value), y - 9], figures(k.value), "middle", k === middle)),
  ];
}

/** What the three marks of a line are, said once over the first. */
function namesAbove(rows: readonly SizesOf[], x: (um: number) => number, y: number): PictureMark[] {
  for (const row of rows) {
    const at = kinds.flatMap(({ of, label }) => {
      const { value } = of(row);
      return value === null ? [] : [{ label, left: x(value) }];
    });
    if (at.length < kinds.length) continue;
    const isRoomy = neighbours(at).every(([one, next]) => next.left - one.left > 30);
    return isRoomy
      ? at.map(({ label, left }) => words([left, y], label))
      : [words([itemAt(at, 1).left, y], "D10 · D50 · D90")];
  }
  return [];
}
