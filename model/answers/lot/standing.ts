import { type Curve, curveOf, meanCurve, sizeAt } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band, RowCheck, Verdict } from "#model/band/band.ts";
import { limitBeyond, limitWords, percentileOf, quantityText } from "#model/band/limits.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import {
  type GrowthByPercent,
  maxShift,
  meanShift,
  minPairs,
  minShift,
} from "#model/mill/prediction/refiringGrowth.ts";
import { capital, counted, countWord, listed } from "#model/words/wording.ts";
import { checkAnswer } from "./checkAnswer.ts";

/** How one lot of many stands: a line of the list of lots. */
export interface LotStanding {
  /** The stage that is judged, or that the lot has reached. */
  readonly stage: string;
  /** Null where the band is for another stage, or there is none. */
  readonly verdict: Verdict | null;
  /** What there is to know of it in few words; empty for a lot that is in band. */
  readonly reason: string;
  readonly rows: readonly RowCheck[];
  /** Whether the rows are predicted from the milled powder. */
  readonly isPredicted: boolean;
  /** D10, D50 and D90 of the mean curve by volume; null outside what was measured. */
  readonly sizesUm: readonly (number | null)[];
}

interface StageRuns {
  readonly stage: string;
  readonly runs: readonly NamedMeasurement[];
}

/**
 * Of a lot on its way, the sizes after re-firing are those of the milled powder times the mean growth of the lots seen, from
 * the least to the most grown of them; below three lots nothing is predicted.
 *
 * @param stages  in the order of the process
 * @param growth  what the heat treatment to the band's stage did to lots that have both stages; null where the judged stage is not the one before it, or none has
 * @returns null where no stage was measured
 */
export function standingOf(
  stages: readonly StageRuns[],
  band: Band | null,
  growth: GrowthByPercent | null,
): LotStanding | null {
  const measured = stages.filter(({ runs }) => runs.length > 0);
  const judged = measured.find(({ stage }) => stage === band?.stage) ?? measured.at(-1);
  if (judged === undefined) return null;
  const { stage, runs } = judged;
  const curve = curveByVolume(runs);
  const sizesUm = [0.1, 0.5, 0.9].map((share) => (curve === null ? null : sizeAt(curve, share)));
  const nothing = { stage, verdict: null, reason: "", rows: [], isPredicted: false, sizesUm };
  if (band === null) return nothing;
  if (band.stage === "" || band.stage === stage) {
    const { verdict, rows } = checkAnswer(runs, band);
    return { ...nothing, verdict, rows, reason: reasonOf(verdict, rows, runs.length) };
  }
  if (curve === null || growth === null || growth.lots.length < minPairs) return nothing;
  const rows = band.rows.flatMap((row) => predictedRow(row, curve, growth));
  const outside = rows.find((row) => row.value !== null && limitBeyond(row.value, row) !== null);
  return {
    ...nothing,
    rows,
    isPredicted: true,
    reason:
      outside === undefined
        ? `predicted ${band.stage}: sizes within their limits`
        : `predicted ${band.stage}: ${beyondText(outside)}`,
  };
}

function curveByVolume(runs: readonly NamedMeasurement[]): Curve | null {
  const converted = byVolume(runs).runs;
  return converted === null ? null : meanCurve(converted.map((m) => curveOf(m.distribution)));
}

function predictedRow(row: Band["rows"][number], milled: Curve, growth: GrowthByPercent): RowCheck[] {
  const share = percentileOf(row.limit);
  const size = share === null ? null : sizeAt(milled, share);
  if (share === null || size === null) return [];
  const after = (of: typeof meanShift) => size * Math.exp(of(growth, 100 * share));
  return [
    {
      limit: row.limit,
      low: row.low,
      high: row.high,
      value: after(meanShift),
      interval: { low: after(minShift), high: after(maxShift), level: 1 },
      verdict: "too few runs",
      probability: null,
    },
  ];
}

function reasonOf(verdict: Verdict, rows: readonly RowCheck[], runs: number): string {
  if (verdict === "in band") return "";
  if (verdict === "too few runs") return `${counted(runs, "run")} cannot show the scatter`;
  const [worst] = rows.filter((row) => row.verdict === verdict);
  if (worst === undefined)
    return verdict === "out of band" ? "the curve leaves the envelope" : "the curve is too close to call";
  return verdict === "out of band" ? beyondText(worst) : `${valueText(worst)}, too close to call`;
}

function valueText(row: RowCheck): string {
  return `${limitWords(row).name} ${row.value === null ? "not known" : quantityText(row, row.value)}`;
}

function beyondText(row: RowCheck): string {
  const side = row.value === null ? null : limitBeyond(row.value, row);
  const limit = side === null ? null : row[side];
  if (side === null || limit === null) return valueText(row);
  return `${valueText(row)}, ${side === "high" ? "over" : "under"} ${quantityText(row, limit)}`;
}

/** How all lots stand together, in a sentence or two. @param named  the lots in the order they were made */
export function standingsSentence(
  named: readonly { readonly name: string; readonly standing: LotStanding | null }[],
): { readonly firm: string; readonly more: string } {
  const judged = named.flatMap(({ name, standing }) =>
    standing === null || standing.verdict === null || standing.verdict === "too few runs"
      ? []
      : [{ name, verdict: standing.verdict, reason: standing.reason }],
  );
  const [latest] = judged.filter(({ verdict }) => verdict === "out of band").slice(-1);
  const count = (wanted: Verdict) => judged.filter(({ verdict }) => verdict === wanted).length;
  const [inBand, onEdge, out] = [count("in band"), count("on the edge"), count("out of band")];
  if (judged.length === 0) return { firm: "No lot is finished and judged yet.", more: "" };
  if (inBand === judged.length)
    return {
      firm:
        inBand === 1
          ? "The one finished lot is in band."
          : `All ${counted(inBand, "finished lot")} are in band.`,
      more: "",
    };
  const parts = [
    ...(onEdge === 0 ? [] : [`${countWord(onEdge)} on the edge`]),
    ...(out === 0 ? [] : [`${countWord(out)} out of band`]),
  ];
  const why = latest === undefined ? "" : ` ${latest.name} is out of band: ${latest.reason}.`;
  return {
    firm:
      judged.length === 1
        ? "The one finished lot is not in band."
        : `${inBand === 0 ? "None" : capital(countWord(inBand))} of ${counted(judged.length, "finished lot")} ${inBand < 2 ? "is" : "are"} in band.`,
    more: `${capital(listed(parts))}.${why}`,
  };
}
