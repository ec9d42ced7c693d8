import { itemAt } from "#distributions/lists.ts";
import type { Series } from "./block.ts";
import type { NumberColumn } from "./sameCurve.ts";
import { type LeftOut, maxCompared } from "./twinColumns.ts";
import { addsToWhole, courseOf, reachesWhole } from "./wholes.ts";

/** A class counts where it holds this part of the largest or more: below it rounding hides the ratio. */
const countsFrom = 0.05;
/** Classes that must bear it out. */
const minClasses = 4;
/** How far the ratio of what the sum gains to what the density says may stray, beside rounding. */
const slack = 0.01;

/**
 * Columns that are the density of a cumulative one beside them: in every class, what the sum gains over the density times
 * the class's width, in size or in ln size, comes to the same. Sums at the edges are exact, so they are kept.
 *
 * @param about.isAsked  which series may be one
 * @param about.sizesUm  the sizes in the order of the rows, a list or two of edges
 */
export function densitiesOf(
  series: readonly Series[],
  about: {
    readonly columns: ReadonlyMap<Series, NumberColumn>;
    readonly sizesUm: readonly (readonly number[])[];
    readonly isAsked: (one: Series) => boolean;
  },
): ReadonlyMap<Series, LeftOut> {
  const { columns, sizesUm, isAsked } = about;
  const found = new Map<Series, LeftOut>();
  if (series.length < 2 || series.length > maxCompared) return found;
  const sums = series.filter((s) => isSum(columns.get(s)?.values ?? []));
  if (sums.length === 0) return found;
  for (const one of series) {
    const density = columns.get(one);
    if (density === undefined || !isAsked(one) || sums.includes(one) || addsToWhole(density.values)) continue;
    const sum = sums.find((s) => gains(columns.get(s), density, sizesUm));
    if (sum !== undefined)
      found.set(one, {
        left: `the density of "${sum.heading}"`,
        words: `is the density of "${sum.heading}" and was left out as the same measurement.`,
      });
  }
  return found;
}

function isSum(values: readonly number[]): boolean {
  return reachesWhole(values) && courseOf(values) !== null;
}

function gains(
  sum: NumberColumn | undefined,
  density: NumberColumn,
  [first = [], second]: readonly (readonly number[])[],
): boolean {
  if (sum === undefined || first.length !== sum.values.length) return false;
  const steps = sum.values.slice(1).map((q, i) => Math.abs(q - itemAt(sum.values, i)));
  // The class of a row ends at its size or begins there, and the sum may hold it or not.
  for (const shift of [0, 1])
    for (const isLn of [true, false]) {
      const scale = (um: number) => (isLn ? Math.log(um) : um);
      const widths = steps.map((_, i) => {
        const [from, to] =
          second === undefined
            ? [itemAt(first, i), itemAt(first, i + 1)]
            : [itemAt(first, i + 1 - shift), itemAt(second, i + 1 - shift)];
        return Math.abs(scale(to) - scale(from));
      });
      const areas = widths.map((width, i) => width * itemAt(density.values, i + 1 - shift));
      if (isSteady(steps, areas, { rounding: sum.rounding, densities: density, shift })) return true;
    }
  return false;
}

/** Whether gains are the same multiple of areas wherever a class holds something. */
function isSteady(
  steps: readonly number[],
  areas: readonly number[],
  { rounding, densities, shift }: { rounding: number; densities: NumberColumn; shift: number },
): boolean {
  const most = Math.max(...steps);
  const ratios = steps.flatMap((step, i) => {
    if (step < countsFrom * most) return [];
    const density = Math.abs(itemAt(densities.values, i + 1 - shift));
    return [{ ratio: step / itemAt(areas, i), near: (2 * rounding) / step + densities.rounding / density }];
  });
  if (ratios.length < minClasses || !ratios.every(({ ratio }) => Number.isFinite(ratio) && ratio > 0))
    return false;
  const middle = itemAt(
    ratios.map(({ ratio }) => ratio).toSorted((a, b) => a - b),
    Math.floor(ratios.length / 2),
  );
  return ratios.every(({ ratio, near }) => Math.abs(ratio / middle - 1) <= slack + near);
}
