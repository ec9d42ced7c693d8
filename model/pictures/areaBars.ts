import { itemAt, maxOf } from "#distributions/lists.ts";
import type { AreaOfClass } from "#model/surface/areaBySize.ts";
import { figures } from "#model/words/wording.ts";
import {
  box,
  evenScale,
  footMarks,
  heightMarks,
  logScale,
  type Picture,
  type PictureMark,
  roundTicks,
} from "./picture.ts";
import { decadeTicks, plainDecimal } from "./scale.ts";

const height = 240;
/** Classes with less than this share of the area on either side of the rest are not drawn. */
const seen = 0.0005;

/**
 * What the area rests on, as bars over size: each bar's own area is the share of the powder's area its class carries.
 * @returns null where no class carries any
 */
export function areaBars(bySize: readonly AreaOfClass[], name: string, width = 720): Picture | null {
  const first = bySize.findIndex((c) => c.share > seen && c.fromUm > 0);
  const last = bySize.findLastIndex((c) => c.share > seen);
  const shown = first < 0 ? [] : bySize.slice(first, last + 1);
  if (shown.length === 0) return null;
  const [from, to] = [itemAt(shown, 0).fromUm, itemAt(shown, -1).toUm];
  const frame = { left: 52, right: width - 12, top: 10, bottom: height - 40 };
  const bars = shown.map((c) => ({ ...c, height: (100 * c.share) / Math.log(c.toUm / c.fromUm) }));
  const top = 1.06 * maxOf(bars.map((b) => b.height));
  const x = logScale([from, to], [frame.left, frame.right]);
  const y = evenScale([0, top], [frame.bottom, frame.top]);
  const foot = decadeTicks(from, to);
  const room = foot.length * 36 < width ? foot : foot.filter((um) => Number.isInteger(Math.log10(um)));
  return {
    width,
    height,
    name,
    marks: [
      ...heightMarks(frame, roundTicks(0, top), y, { label: "% of area per ln size" }),
      ...bars.map((b): PictureMark => box("ground", [x(b.fromUm), y(b.height)], [x(b.toUm), frame.bottom])),
      ...footMarks(
        frame,
        room.map((um) => ({ at: x(um), label: plainDecimal(um) })),
        "size, µm",
      ),
    ],
    readings: bars.map((b) => ({
      at: [(x(b.fromUm) + x(b.toUm)) / 2, y(b.height)],
      name: `${figures(b.fromUm)}–${figures(b.toUm)} µm`,
      values: [{ label: "share of the area, %", value: 100 * b.share }],
    })),
  };
}
