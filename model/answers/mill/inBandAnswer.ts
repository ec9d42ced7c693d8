import { type Problem, problem } from "#distributions/problem.ts";
import { type Band, judgedEnvelope } from "#model/band/band.ts";
import { limitWords, nameInside } from "#model/band/limits.ts";
import { type BestSetting, bestSetting } from "#model/mill/prediction/bestSetting.ts";
import { chanceInBand } from "#model/mill/prediction/chanceInBand.ts";
import type { FittedMill } from "#model/mill/prediction/fittedMill.ts";
import { isJudged, type JudgedRows, judgedWith } from "#model/mill/prediction/judgedRows.ts";
import { type PredictedProduct, predictedProductAt } from "#model/mill/prediction/predictedProduct.ts";
import { growthFor } from "#model/mill/prediction/targetBeforeRefiring.ts";
import type { Setting } from "#model/mill/trials/trialFit.ts";
import { bandChance, listed } from "#model/words/wording.ts";

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
  /** The chance at the speed asked by the other lots, where one lot is an outlier on re-firing; null where none is. */
  readonly withoutOutlier: { readonly lot: string; readonly probability: number } | null;
  /** Of several, the one that alone is least likely to hold at the speed asked; null where there is one or no speed. */
  readonly leastLikely: { readonly name: string; readonly probability: number } | null;
}

export interface InBandQuestion {
  readonly band: Band;
  /** Null where the likeliest setting is not sought. */
  readonly ratedSpeedRpm: number | null;
  /** Null where nothing is predicted. */
  readonly setting: Setting | null;
  readonly feedKgPerH: number | null;
  /** The band's rows where they are judged already. */
  readonly judged: JudgedRows | undefined;
}

/**
 * The chance at a setting, and where it is greatest up to the rated speed. Rows that are not included become a note.
 *
 * @returns  inBand null where no row of the band can be included
 */
export function inBandOf(
  fitted: FittedMill,
  { band, ratedSpeedRpm, setting, feedKgPerH, judged }: InBandQuestion,
): { readonly inBand: InBand | null; readonly problems: readonly Problem[] } {
  const rows = judged ?? judgedWith(fitted, band);
  return {
    inBand: isJudged(rows)
      ? {
          ...chanceAt(fitted, rows, band.stage, { ratedSpeedRpm, setting, feedKgPerH }),
          withoutOutlier: withoutOutlier(fitted, band, setting),
        }
      : null,
    problems: notIncluded(rows, band, fitted.shape !== null),
  };
}

function notIncluded({ notJudged }: JudgedRows, band: Band, hasWholeCurve: boolean): Problem[] {
  if (notJudged.length === 0 && judgedEnvelope(band) === null) return [];
  const names = [...notJudged.map(nameInside), ...(judgedEnvelope(band) === null ? [] : ["the envelope"])];
  const couldBe = notJudged.some((r) => !["span", "largestClassUm"].includes(r.limit));
  const more = !couldBe
    ? ""
    : hasWholeCurve
      ? " Growth of D10, D50 and D90 does not show how re-firing changes the other sizes: save lots with whole curves of both stages."
      : " Shares below a size and areas are included once a trial has its whole curve.";
  return [
    problem(
      "note",
      `The ${bandChance} does not include ${listed(names)}. Check ${names.length === 1 ? "it" : "them"} when the run is measured.${more}`,
      { found: "limits that the trials do not cover", effect: "not counted" },
    ),
  ];
}

function chanceAt(
  { thin, growth }: FittedMill,
  rows: JudgedRows,
  stage: string,
  { ratedSpeedRpm, setting, feedKgPerH }: Pick<InBandQuestion, "ratedSpeedRpm" | "setting" | "feedKgPerH">,
): Omit<InBand, "withoutOutlier"> {
  const after = growthFor(growth, { stage });
  const best: BestSetting | null =
    ratedSpeedRpm === null
      ? null
      : bestSetting(thin, { growth: after, judged: rows, feedKgPerH }, ratedSpeedRpm);
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

function withoutOutlier(fitted: FittedMill, band: Band, setting: Setting | null): InBand["withoutOutlier"] {
  const other = fitted.withoutOutlier;
  if (other === null || setting === null || growthFor(other.growth, band) === null) return null;
  const product = predictedProductAt(fitted.thin, setting, other.growth);
  return { lot: other.lot, probability: chanceInBand(product, judgedWith({ ...fitted, ...other }, band)) };
}

function leastLikelyOf(product: PredictedProduct, { alone }: JudgedRows): InBand["leastLikely"] {
  const [first] = alone
    .map((row) => ({ name: limitWords(row.row).name, probability: chanceInBand(product, row) }))
    .sort((a, b) => a.probability - b.probability);
  return first ?? null;
}
