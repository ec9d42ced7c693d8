import { computed } from "@preact/signals";
import type { Curve } from "#distributions/curve.ts";
import { geometricSurface } from "#distributions/moments.ts";
import { stageName } from "#model/lot/processSteps.ts";
import { measuredCurve } from "#model/mill/grinding/measuredCurve.ts";
import { trialYield } from "#model/mill/trials/trialYield.ts";
import { predictedBet } from "#model/surface/predictedBet.ts";
import { chanceText, counted, figures } from "#model/words/wording.ts";
import { calibrationPairs } from "#ui/data/calibration.ts";
import { trials } from "#ui/data/mill.ts";
import { band, density, lot, material } from "#ui/data/selection.ts";
import { stepsOf } from "#ui/data/steps.ts";
import { range } from "#ui/parts/format.ts";
import { predicted, predictedRefired } from "./predicted.ts";
import { isWorking } from "./product.ts";
import { refiring } from "./refiring.ts";
import { feedKgPerH, flowM3PerH, plan } from "./wheel.ts";

/** A number of the plan; without a value, what would fill it. */
export interface PlanNumber {
  readonly name: string;
  /** With its unit; null where there is no ground for it. */
  readonly value: string | null;
  /** Its interval and what it rests on, or what would give it ground. */
  readonly below: string;
}

/** The milled product over its feed, as the trials weighed it. */
const yieldFound = computed(() => trialYield(trials.value.map(({ trial }) => trial)));

const productKgPerH = computed(() => {
  const found = yieldFound.value;
  const feed = feedKgPerH.value;
  if (found === null || feed === null) return null;
  const at = (share: number | null) => (share === null ? null : feed * share);
  return { ...found, median: feed * found.median, low: at(found.low), high: at(found.high) };
});

/** The stage that the predicted curve is for. */
const stagePlanned = computed(() => {
  const { from = "milled", to = "re-fired" } = refiring.value ?? {};
  return predictedRefired.value === null ? from : to;
});

/** BET pairs of the stage that the predicted curve is for. */
const pairsOfStage = computed(() => {
  return lot.value === null ? [] : calibrationPairs(lot.value, stagePlanned.value);
});

const level = 0.9;

/** Of the predicted curve: the pairs' scatter and the interval of D50 together, on ln. */
const bet = computed(() => {
  const drawn = predictedRefired.value ?? predicted.value;
  const densityGPerCm3 = density.value;
  if (drawn === null || densityGPerCm3 === null || pairsOfStage.value.length === 0) return null;
  const areaOf = (curve: Curve) => geometricSurface(measuredCurve(curve), densityGPerCm3)?.m2PerG ?? null;
  const [middle, finer, coarser] = [drawn.curve, drawn.finer, drawn.coarser].map(areaOf);
  if (middle == null || finer == null || coarser == null) return null;
  const found = predictedBet(pairsOfStage.value, middle, { level, now: { densityGPerCm3 } });
  if (found.basis === "guess") return null;
  const away = (end: number | null, area: number) =>
    end === null ? null : Math.hypot(Math.log(end / found.median), Math.log(area / middle));
  const [down, up] = [away(found.low, coarser), away(found.high, finer)];
  return {
    median: found.median,
    low: down === null ? null : found.median * Math.exp(-down),
    high: up === null ? null : found.median * Math.exp(up),
    pairs: found.pairs,
  };
});

const intervalText = (low: number | null, high: number | null) =>
  low === null || high === null ? "no interval yet" : range(low, high, "");

function chanceNumber(): PlanNumber {
  const inBand = plan.value?.inBand ?? null;
  const name = "Chance of being in band";
  if (inBand === null || inBand.probability === null)
    return {
      name,
      value: null,
      below: band.value === null ? "needs a band" : "needs a limit that the trials speak of",
    };
  const { leastLikely } = inBand;
  return {
    name,
    value: chanceText(inBand.probability),
    below: leastLikely === null ? "" : `${leastLikely.name}: ${chanceText(leastLikely.probability)}`,
  };
}

function sizeNumbers(): PlanNumber[] {
  const sizes = [
    { name: "D50 milled", of: plan.value?.d50Um ?? null, needs: "needs trials" },
    {
      name: "D50 re-fired",
      of: plan.value?.refired?.d50Um ?? null,
      needs: "needs lots measured milled and re-fired",
    },
  ];
  return sizes.map(({ name, of, needs }) =>
    of === null
      ? { name, value: null, below: needs }
      : { name, value: `${figures(of.median)} µm`, below: range(of.low, of.high, "µm") },
  );
}

function productNumbers(): PlanNumber[] {
  const found = productKgPerH.value;
  const weighed = yieldFound.value;
  if (found === null || weighed === null) {
    const needs =
      feedKgPerH.value === null ? "needs the feed" : "needs the product of a trial, weighed in kg/h";
    return [
      { name: "Product", value: null, below: needs },
      { name: "Gas", value: null, below: "follows from the product" },
    ];
  }
  const percents = range(
    weighed.low === null ? null : 100 * weighed.low,
    weighed.high === null ? null : 100 * weighed.high,
    "",
  );
  const yieldWords = `yield ${figures(100 * weighed.median, 2)} %${weighed.low === null ? "" : ` (${percents})`}, ${counted(weighed.weighed, "trial")} weighed`;
  const gas = (kgPerH: number | null) => (kgPerH === null ? null : flowM3PerH.value / kgPerH);
  return [
    { name: "Product", value: `${figures(found.median)} kg/h`, below: yieldWords },
    {
      name: "Gas",
      value: `${figures(flowM3PerH.value / found.median)} m³/kg`,
      below: `${intervalText(gas(found.high), gas(found.low))}, at the wheel`,
    },
  ];
}

function loadNumber(): PlanNumber {
  const drawn = predictedRefired.value ?? predicted.value;
  const name = "Circulating load";
  if (drawn === null || drawn.recycle === null) {
    const below = isWorking.value
      ? "the balance is still being fitted"
      : "needs the balance to reach this D50";
    return { name, value: null, below };
  }
  const { middle, low, high } = drawn.recycle;
  return {
    name,
    value: `${figures(middle)} × feed`,
    below: `${range(low, high, "")}${drawn.from === "balance assumed" ? ", shape assumed" : ""}`,
  };
}

function betNumber(): PlanNumber {
  const found = bet.value;
  const name = "Predicted BET";
  const stage = stageName(stepsOf(material.value ?? ""), stagePlanned.value);
  return found === null
    ? { name, value: null, below: `needs a BET result of a ${stage} lot` }
    : {
        name,
        value: `${figures(found.median)} m²/g`,
        below: `${intervalText(found.low, found.high)}, ${counted(found.pairs, "lot")} measured`,
      };
}

/** The row of numbers under the pictures: it moves with them. */
export const planNumbers = computed<readonly PlanNumber[]>(() => [
  chanceNumber(),
  ...sizeNumbers(),
  ...productNumbers(),
  loadNumber(),
  betNumber(),
]);
