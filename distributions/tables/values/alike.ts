import type { SizeDistribution } from "#distributions/sizeDistribution.ts";
import { withShares } from "#distributions/sizeDistribution.ts";
import type { SeriesContext } from "#distributions/tables/evidence/seriesContext.ts";
import { quietSum } from "#distributions/tables/evidence/shares.ts";
import type { CellNumbers } from "#distributions/tables/layout/block.ts";
import { wholeShares } from "./kernels/wholeShares.ts";
import type { SeriesReading } from "./readSeries.ts";

/** Reads a further series as another was read. @returns null where its numbers could decide otherwise */
export type ReadAlike = (numbers: CellNumbers, name: string) => SeriesReading | null;

/**
 * How the series behind one are read that have no word of their own either: once the numbers of one class a share add to
 * the whole within rounding, nothing that is decided about a series hangs on them but its shares. A table of 10,000 lots
 * is read in half the time; the reader of cells, which reads each series on its own, says the same
 * (tests/distributions/tables/numberTable.test.ts).
 *
 * @returns null where the one was read in another way, or words had a part in it
 */
export function alike(
  numbers: CellNumbers,
  { measurement, problems, questions, how }: SeriesReading,
  context: SeriesContext,
): ReadAlike | null {
  if (measurement === null || questions.length > 0 || !isByNumbers(context)) return null;
  const { file, distribution } = measurement;
  const { order } = context.sizes;
  const asRead = ({ values }: CellNumbers, whole: 1 | 100) =>
    values.length === order.length && order[0] === 0 && distribution.shares.length === values.length
      ? wholeShares(values, { whole, most: quietSum })
      : null;
  const whole = ([1, 100] as const).find((one) => mayBe(one, context) && asRead(numbers, one) !== null);
  if (whole === undefined || !isAllInClasses(distribution)) return null;
  return (other, name) => {
    const shares = asRead(other, whole);
    return shares === null
      ? null
      : {
          measurement: { file, name, distribution: withShares(distribution, Object.freeze(shares)) },
          problems: problems.map((p) => ({ ...p, measurement: name })),
          questions: [],
          how,
        };
  };
}

/** Whether no word says what the values are, so that their sum alone does. */
function isByNumbers(context: SeriesContext): boolean {
  const { values, contradictions, namedValues, sizes, isSieve, options } = context;
  return (
    values === null &&
    Object.keys(contradictions).length === 0 &&
    namedValues.length === 0 &&
    sizes.signs === null &&
    // What lies below the first edge, or on the coarsest sieve, is told of each.
    options.firstEdgeUm === undefined &&
    !isSieve
  );
}

/** Whether a sum of 1, or of 100, agrees with what is said of the scale, if anything is. */
function mayBe(whole: 1 | 100, { scale }: SeriesContext): boolean {
  return scale === null || scale.value === (whole === 100 ? "percent" : "fraction");
}

function isAllInClasses({ belowShare, aboveShare }: SizeDistribution): boolean {
  return belowShare === 0 && aboveShare === 0;
}
