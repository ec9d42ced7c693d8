import { type Problem, problem } from "#distributions/problem.ts";
import type { Band } from "#model/band/band.ts";
import { limitWords, nameInside } from "#model/band/limits.ts";
import { type BestSetting, bestSetting } from "#model/mill/prediction/bestSetting.ts";
import { chanceInBand } from "#model/mill/prediction/chanceInBand.ts";
import type { FittedMill } from "#model/mill/prediction/fittedMill.ts";
import { isJudged, type JudgedRows, judgedWith } from "#model/mill/prediction/judgedRows.ts";
import { type PredictedProduct, predictedProductAt } from "#model/mill/prediction/predictedProduct.ts";
import type { Setting } from "#model/mill/trials/trialFit.ts";
import { listed } from "#model/words/wording.ts";

/** The chance that one further run lies in band, at the speed asked and where it is greatest. */
export interface InBand {
  /** null without a speed, or where the prediction there is refused. */
  readonly probability: number | null;
  /** null without a rated speed, or where it was not sought. */
  readonly bestSpeedRpm: number | null;
  readonly bestFlowM3PerH: number | null;
  readonly bestProbability: number | null;
  /** The limits that the chance counts, by their names. */
  readonly counted: readonly string[];
  /** Of several, the one that alone is least likely to hold at the speed asked; null where there is one or no speed. */
  readonly leastLikely: { readonly name: string; readonly probability: number } | null;
}

/**
 * The chance at a setting, and where it is greatest up to the rated speed. Rows that are not counted become a note.
 *
 * @param ratedSpeedRpm  null where the likeliest setting is not sought
 * @param setting        null where nothing is predicted
 * @param judged         the band's rows where they are judged already
 * @returns              null where no row of the band can be counted
 */
export function inBandOf(
  ratedSpeedRpm: number | null,
  learned: FittedMill,
  band: Band,
  setting: Setting | null,
  feedKgPerH: number | null,
  problems: Problem[],
  judged: JudgedRows | undefined,
): InBand | null {
  const { thin, aim, shape } = learned;
  const rows = judged ?? judgedWith(learned, band);
  if (rows.notJudged.length > 0 || band.envelope !== null) {
    const left = rows.notJudged.map(nameInside);
    const couldBe = rows.notJudged.some((r) => !["span", "largestClassUm"].includes(r.limit));
    const more = !couldBe
      ? ""
      : shape === null
        ? " Shares below a size and areas are counted too once a trial has its whole curve."
        : " What re-firing does to the other sizes is not known from D10, D50 and D90: lots kept with whole curves of both stages tell it.";
    problems.push(
      problem(
        "note",
        `The chance of a run in band does not count ${listed([...left, ...(band.envelope === null ? [] : ["the envelope"])])}. Check those once the run is measured.${more}`,
        { found: "rows that the trials do not speak of", effect: "not counted" },
      ),
    );
  }
  if (!isJudged(rows)) return null;
  const after = band.stage === "milled" ? null : aim;
  const best: BestSetting | null =
    ratedSpeedRpm === null
      ? null
      : bestSetting(thin, { aim: after, judged: rows, feedKgPerH }, ratedSpeedRpm);
  const product = setting === null ? null : predictedProductAt(thin, setting, after);
  return {
    probability: product === null ? null : chanceInBand(product, rows),
    leastLikely: product === null || rows.alone.length < 2 ? null : leastLikelyOf(product, rows),
    bestSpeedRpm: best?.speedRpm ?? null,
    bestFlowM3PerH: best?.flowM3PerH ?? null,
    bestProbability: best?.probability ?? null,
    counted: rows.alone.map(({ row }) => limitWords(row).name),
  };
}

function leastLikelyOf(product: PredictedProduct, { alone }: JudgedRows): InBand["leastLikely"] {
  const [first] = alone
    .map((row) => ({ name: limitWords(row.row).name, probability: chanceInBand(product, row) }))
    .sort((a, b) => a.probability - b.probability);
  return first ?? null;
}
