import { curveOf, undersizeAt } from "#distributions/curve.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { type Layout, layoutOf } from "./layouts.ts";

/** How far a curve may lie from the one that was written, by rounding of what was written: 0.5 %. */
const closeEnough = 0.005;

export interface LayoutCount {
  /** Seeds of tables read as another curve than they hold. */
  readonly misread: string[];
  /** Seeds of tables that were refused, or asked more than quantity and edge. */
  readonly unread: string[];
}

/** Reads the layouts of a run of seeds, answering only what a table may leave open. */
export function countLayouts(firstSeed: number, count: number): LayoutCount {
  const misread: string[] = [];
  const unread: string[] = [];
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    const layout = layoutOf(seed);
    const asked = readTable(layout.bytes, "lot.csv", {}).problems.filter((p) => p.severity === "question");
    const beyond = asked.find((p) => !["quantity", "edge"].includes(p.choices?.[0]?.option ?? ""));
    const { measurements, problems } = readTable(layout.bytes, "lot.csv", layout.answers);
    const open = problems.find((p) => p.severity !== "note");
    const name = `${seed} (${layout.shape})`;
    if (beyond !== undefined || open !== undefined || measurements.length !== layout.powders.length)
      unread.push(
        `${name}: ${(beyond ?? open)?.message ?? `${measurements.length} of ${layout.powders.length}`}`,
      );
    for (const [i, m] of measurements.entries()) {
      const { quantity } = m.distribution;
      const called = layout.powders[i]?.name ?? "";
      const isAll = measurements.length === layout.powders.length;
      if (quantity !== layout.quantity) misread.push(`${name}: ${m.name} counts ${quantity}`);
      if (layout.isNamed && isAll && !m.name.replaceAll("_", " ").includes(called))
        misread.push(`${name}: ${called} goes by ${m.name}`);
      const gap = gapOf(curveOf(m.distribution), layout, i, measurements.length);
      if (gap > closeEnough) misread.push(`${name}: ${m.name} is off by ${gap.toFixed(4)}`);
    }
  }
  return { misread, unread };
}

/** The largest gap in undersize at the edges that were written; of the powder in place, or of the nearest where some were left out. */
function gapOf(curve: ReturnType<typeof curveOf>, layout: Layout, i: number, count: number): number {
  const gaps = layout.powders.map(({ edgesUm, shares }) => {
    let sum = 0;
    let gap = 0;
    for (const [k, x] of edgesUm.entries()) {
      const isSupposed =
        (layout.untold === "first" && k === 0) || (layout.untold === "last" && k === edgesUm.length - 1);
      if (!isSupposed) gap = Math.max(gap, Math.abs(undersizeAt(curve, x * (1 + 1e-9)) - sum));
      sum += shares[k] ?? 0;
    }
    return gap;
  });
  return count === layout.powders.length ? (gaps[i] ?? 1) : Math.min(...gaps);
}
