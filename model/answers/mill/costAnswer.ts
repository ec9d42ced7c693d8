import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { jetCost } from "#model/mill/grinding/cost.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { Trial } from "#model/mill/trials/trial.ts";
import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import { type TrialYield, trialYield } from "#model/mill/trials/trialYield.ts";
import { capital, counted, figures, listed } from "#model/words/wording.ts";

/** A number with its range; without ends where its scatter is not known. */
export interface CostRange {
  readonly median: number;
  readonly low: number | null;
  readonly high: number | null;
}

/** What things cost, in one currency of the reader's; each may be left out. */
export interface Prices {
  /** Of gas, per m³ at the wheel. */
  readonly gasPerM3?: number;
  /** Of the jets' work, per kWh. */
  readonly energyPerKWh?: number;
  readonly feedPerKg?: number;
  /** Of the mill with whoever runs it. */
  readonly perHour?: number;
  /** As it is to be printed. */
  readonly currency?: string;
}

export interface CostQuestion extends Prices {
  readonly flowM3PerH: number;
  readonly feedKgPerH: number | null;
  /** Of the milled product at the setting; null where they are not predicted. */
  readonly d10Um: SizeInterval | null;
  readonly d50Um: SizeInterval | null;
  /** Powder finer than this is not kept; null where it is not said. */
  readonly finesBelowUm?: number;
  readonly level?: number;
}

/** What a setting gives and takes, per hour and per kg of product. */
export interface CostAnswer {
  /** Product over feed. */
  readonly yield: CostRange | null;
  readonly productKgPerH: CostRange | null;
  /** Fed and not collected. */
  readonly lostKgPerH: CostRange | null;
  /** At the wheel's temperature and pressure. */
  readonly gasM3PerKg: CostRange | null;
  /** Of the jets, without any loss; null where no nozzle pressure is entered. */
  readonly energyKWhPerKg: CostRange | null;
  /** Share of the milled product finer than the size asked about. */
  readonly finesShare: CostRange | null;
  /** Of all that a price was given for. */
  readonly pricePerKg: CostRange | null;
  readonly currency: string | null;
  readonly level: number;
  readonly sentence: string;
}

/**
 * What a setting costs beside its chance: product is feed times the yield that the trials weighed, gas and work follow from
 * it, lost fines from the predicted D10 and D50. Ranges are of the next run.
 *
 * Source: Student's t on ln of the yield (`trialYield.ts`), isentropic work of the jets (`gas.ts`). The share of fines takes
 * the fine side of the product as log-normal through D10 and D50: a judgement of ours.
 */
export function costAnswer(mill: Mill, trials: readonly Trial[], asked: CostQuestion): CostAnswer {
  const { flowM3PerH, feedKgPerH, level = 0.9, currency = null } = asked;
  const found = trialYield(trials, level);
  const product = feedKgPerH === null || found === null ? null : times(found, feedKgPerH);
  const lost = feedKgPerH === null || found === null ? null : times(lostOf(found), feedKgPerH);
  const perKg = (perHour: number | null) =>
    product === null || perHour === null ? null : over(perHour, product);
  const powerKW = jetCost(mill, flowM3PerH, feedKgPerH)?.powerKW ?? null;
  const hourly = hourlyOf(asked, powerKW);
  const answer = {
    yield: found === null ? null : rangeOf(found),
    productKgPerH: product,
    lostKgPerH: lost,
    gasM3PerKg: perKg(flowM3PerH),
    energyKWhPerKg: perKg(powerKW),
    finesShare: finesOf(asked),
    pricePerKg: hourly.paid.length === 0 ? null : perKg(hourly.perHour),
    currency,
    level,
  };
  return { ...answer, sentence: costSentence(answer, asked, found, hourly) };
}

const rangeOf = ({ median, low, high }: CostRange): CostRange => ({ median, low, high });

const times = ({ median, low, high }: CostRange, by: number): CostRange => ({
  median: by * median,
  low: low === null ? null : by * low,
  high: high === null ? null : by * high,
});

const lostOf = ({ median, low, high }: CostRange): CostRange => ({
  median: 1 - median,
  low: high === null ? null : 1 - high,
  high: low === null ? null : 1 - low,
});

/** What an hour takes, per kg: most where least comes out. */
const over = (perHour: number, { median, low, high }: CostRange): CostRange => ({
  median: perHour / median,
  low: high === null ? null : perHour / high,
  high: low === null ? null : perHour / low,
});

interface Hourly {
  readonly perHour: number;
  /** What it is of. */
  readonly paid: readonly string[];
  /** Priced, and yet not known. */
  readonly left: readonly string[];
}

function hourlyOf(asked: CostQuestion, powerKW: number | null): Hourly {
  const parts = [
    { of: "gas", price: asked.gasPerM3, amount: asked.flowM3PerH },
    { of: "the jets' work", price: asked.energyPerKWh, amount: powerKW },
    { of: "feed", price: asked.feedPerKg, amount: asked.feedKgPerH },
    { of: "the mill's hours", price: asked.perHour, amount: 1 },
  ].flatMap(({ of, price, amount }) => (price === undefined ? [] : [{ of, price, amount }]));
  const known = parts.flatMap(({ of, price, amount }) =>
    amount === null ? [] : [{ of, cost: price * amount }],
  );
  return {
    perHour: known.reduce((sum, { cost }) => sum + cost, 0),
    paid: known.map(({ of }) => of),
    left: parts.flatMap(({ of, amount }) => (amount === null ? [of] : [])),
  };
}

const z10 = -normalDeviate(0.1);

function finesOf({ d10Um, d50Um, finesBelowUm }: CostQuestion): CostRange | null {
  if (d10Um === null || d50Um === null || finesBelowUm === undefined) return null;
  const below = (d10: number, d50: number) =>
    d50 > d10 && finesBelowUm <= d50
      ? normalForm.undersize((-z10 * Math.log(d50 / finesBelowUm)) / Math.log(d50 / d10))
      : null;
  const median = below(d10Um.median, d50Um.median);
  if (median === null) return null;
  // The coarse end of both sizes has the fewest fines, the fine end the most.
  return { median, low: below(d10Um.high, d50Um.high), high: below(d10Um.low, d50Um.low) };
}

function costSentence(
  a: Omit<CostAnswer, "sentence">,
  asked: CostQuestion,
  found: TrialYield | null,
  { paid, left }: Hourly,
): string {
  const said = (of: CostRange, unit: string, by = 1) =>
    `${figures(by * of.median)} ${unit}${of.low === null || of.high === null ? " (no range yet)" : ` (${figures(by * of.low)}–${figures(by * of.high)})`}`;
  const fines =
    a.finesShare === null
      ? ""
      : `${said(a.finesShare, "%", 100)} of the milled product is finer than ${figures(asked.finesBelowUm ?? Number.NaN)} µm.`;
  if (found === null || a.productKgPerH === null || a.gasM3PerKg === null || a.lostKgPerH === null)
    return [
      `The product per hour, and what a kilogram takes, is not known: ${found === null ? "no trial notes both product and feed" : "no feed is given"}.`,
      fines,
    ]
      .filter((part) => part !== "")
      .join(" ");
  const work =
    a.energyKWhPerKg === null
      ? "the work of the jets is not known without the pressure before the nozzles"
      : `${said(a.energyKWhPerKg, "kWh")} in the jets without loss; a compressor takes more`;
  const priced =
    a.pricePerKg === null
      ? ""
      : `${capital(listed(paid))} cost ${said(a.pricePerKg, `${a.currency ?? "of your currency"} per kg`)}.`;
  const unpriced = left.length === 0 ? "" : `Without ${listed(left)}, which is not known.`;
  return [
    `Product ${said(a.productKgPerH, "kg/h")}, ${Math.round(100 * a.level)} % ranges: yield ${said(found, "%", 100)}, ${counted(found.weighed, "trial")} weighed; ${said(a.lostKgPerH, "kg/h")} is lost.`,
    `A kilogram takes ${said(a.gasM3PerKg, "m³")} of gas at the wheel, and ${work}.`,
    fines,
    priced,
    unpriced,
  ]
    .filter((part) => part !== "")
    .join(" ");
}
