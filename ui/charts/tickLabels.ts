import type uPlot from "uplot";

export const tickFont = "12px system-ui, sans-serif";

/** Between two labels of an axis, in the reader's pixels. */
const gapPx = 6;

/** Labels of an axis from left to right, null for one that would run into that before it; its tick stays. */
export function labelsApart(
  u: uPlot,
  splits: readonly number[],
  labelOf: (split: number) => string,
): (string | null)[] {
  u.ctx.save();
  u.ctx.font = tickFont;
  let end = Number.NEGATIVE_INFINITY;
  const kept = splits.map((split) => {
    const label = labelOf(split);
    const half = u.ctx.measureText(label).width / 2;
    const at = u.valToPos(split, "x");
    if (at - half < end) return null;
    end = at + half + gapPx;
    return label;
  });
  u.ctx.restore();
  return kept;
}
