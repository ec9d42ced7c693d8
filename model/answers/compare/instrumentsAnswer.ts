import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type FoundTwice, type InstrumentOffset, instrumentOffset } from "#model/compare/instrumentOffset.ts";
import { type CheckSeries, checkSeries, type NotedCheck } from "#model/factors/checkSeries.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { geometricMean } from "#model/numbers/geometricMean.ts";
import { writtenDay } from "#model/words/days.ts";
import { counted, figures, listed } from "#model/words/wording.ts";

/** Runs of one stage of a lot, each naming the instrument or method it was measured by. */
export interface MeasuredStage {
  readonly lot: string;
  readonly stage: string;
  readonly runs: readonly NamedMeasurement[];
}

export interface OffsetAnswer {
  readonly first: string;
  readonly second: string;
  /** Which size, in per cent of undersize. */
  readonly percentile: number;
  readonly offset: InstrumentOffset | null;
  readonly lots: readonly FoundTwice[];
  readonly sentence: string;
}

const called = (name: string) => name.trim().toLowerCase();

/**
 * How a size differs between two instruments (or techniques), from stages of lots that were measured by both. It is only
 * said: nothing is corrected by it.
 */
export function offsetAnswer(
  stages: readonly MeasuredStage[],
  asked: { readonly first: string; readonly second: string; readonly percentile?: number },
): OffsetAnswer {
  const { first, second, percentile = 50 } = asked;
  const sizeOf = (runs: readonly NamedMeasurement[], name: string): number | null => {
    const own = runs.filter(({ howMeasured = {} }) =>
      [howMeasured.instrument, howMeasured.technique].some(
        (word) => word !== undefined && called(word) === called(name),
      ),
    );
    const known = own.length === 0 ? null : byVolume(own).runs;
    const sizes = (known ?? []).flatMap(
      ({ distribution }) => sizeAt(curveOf(distribution), percentile / 100) ?? [],
    );
    return sizes.length === 0 ? null : geometricMean(sizes);
  };
  const lots = stages.flatMap(({ lot, stage, runs }): FoundTwice[] => {
    const [firstUm, secondUm] = [sizeOf(runs, first), sizeOf(runs, second)];
    return firstUm === null || secondUm === null ? [] : [{ lot: `${lot}, ${stage}`, firstUm, secondUm }];
  });
  const offset = instrumentOffset(lots);
  return {
    first,
    second,
    percentile,
    offset,
    lots,
    sentence: offsetSentence({ first, second, percentile }, offset),
  };
}

/** Ends the sentence of an offset as long as nobody has chosen to correct by it. */
export const nothingCorrected = "Sizes are compared as measured; nothing is corrected by it.";

function offsetSentence(
  { first, second, percentile }: Pick<OffsetAnswer, "first" | "second" | "percentile">,
  offset: InstrumentOffset | null,
): string {
  if (offset === null)
    return `No lot was measured on both ${first} and ${second}: measure three lots on both, and the offset between them can be told.`;
  const { percent, low, high, lots } = offset;
  const found = `${second} finds D${percentile} ${figures(Math.abs(percent), 2)} % ${percent < 0 ? "finer" : "coarser"} than ${first}`;
  if (low === null || high === null)
    return `${found}, by ${counted(lots, "lot")} measured on both; three are needed for an interval.`;
  const isTold = low > 0 || high < 0;
  const range = `95 % interval ${figures(low, 2)} to ${figures(high, 2)} %, ${counted(lots, "lot")} measured on both`;
  return `${found} (${range})${isTold ? "" : ": no offset is shown, one of this size may be"}. ${nothingCorrected}`;
}

export interface InstrumentAnswer {
  readonly name: string;
  readonly series: readonly CheckSeries[];
  readonly sentence: string;
}

/** How an instrument stands by its checks on reference materials. */
export function instrumentAnswer(name: string, checks: readonly NotedCheck[]): InstrumentAnswer {
  const series = checkSeries(checks);
  return { name, series, sentence: `${name}: ${checksText(series)}` };
}

function checksText(series: readonly CheckSeries[]): string {
  if (series.length === 0) return "no check on a reference material is noted.";
  return series
    .map(({ referenceMaterial, quantity, values, limits, outside }) => {
      const last = values.at(-1);
      const deviation =
        last === undefined ? "" : `, last ${figures(last.deviationPercent, 2)} % on ${writtenDay(last.day)}`;
      const beyond = last?.isBeyondStated === true ? ", beyond twice the stated uncertainty" : "";
      const chart =
        limits === null
          ? "limits need five checks"
          : outside.length === 0
            ? `none beyond the limits of the series (${figures(limits.low, 2)} to ${figures(limits.high, 2)} %)`
            : `beyond the limits of the series on ${listed(outside.map(writtenDay))}`;
      return `${quantity} of ${referenceMaterial}, ${counted(values.length, "check")}${deviation}${beyond}; ${chart}.`;
    })
    .join(" ");
}
