import { itemAt } from "#distributions/lists.ts";
import { flowLimits, speedLimits } from "#model/mill/trials/setPoint.ts";
import type { TrialFit } from "#model/mill/trials/trialFit.ts";
import { evenSteps } from "#model/numbers/evenSteps.ts";
import { chanceInBand } from "./chanceInBand.ts";
import type { JudgedRows } from "./judgedRows.ts";
import { predictedProductAt } from "./predictedProduct.ts";
import type { RefiringGrowth } from "./refiringGrowth.ts";

export interface BestSetting {
  readonly speedRpm: number;
  readonly flowM3PerH: number;
  readonly probability: number;
}

/** What is asked of every setting. */
export interface AskedOfSettings {
  /** What re-firing adds; null where the product is judged as milled. */
  readonly growth: RefiringGrowth | null;
  readonly judged: JudgedRows;
  readonly feedKgPerH: number | null;
}

/** The chance of a run in band over the speeds and flows of a grid: a row a flow, a column a speed. */
export function chancesOver(
  fit: TrialFit,
  { growth, judged, feedKgPerH }: AskedOfSettings,
  speedsRpm: readonly number[],
  flowsM3PerH: readonly number[],
): number[][] {
  return flowsM3PerH.map((flowM3PerH) =>
    speedsRpm.map((speedRpm) =>
      chanceInBand(predictedProductAt(fit, { speedRpm, flowM3PerH, feedKgPerH }, growth), judged),
    ),
  );
}

/**
 * The setting at which a run most likely lies in band, within what the trials may be believed for and the rated speed.
 * A coarse grid in ln speed and ln flow, then four rounds of a finer one about its best.
 *
 * @param fit  thinned
 */
export function bestSetting(
  fit: TrialFit,
  { growth, judged, feedKgPerH }: AskedOfSettings,
  ratedSpeedRpm: number,
): BestSetting | null {
  const speeds = speedLimits(fit, ratedSpeedRpm);
  const flows = flowLimits(fit);
  if (!(speeds.highestRpm > speeds.lowestRpm)) return null;
  let box = {
    speed: [Math.log(speeds.lowestRpm), Math.log(speeds.highestRpm)] as const,
    flow: [Math.log(flows.lowestM3PerH), Math.log(flows.highestM3PerH)] as const,
  };
  const within = (centre: number, half: number, [low, high]: readonly [number, number]) =>
    [Math.max(low, centre - half), Math.min(high, centre + half)] as const;
  const whole = box;
  let best: BestSetting | null = null;
  for (let round = 0; round < 5; round++) {
    const lnSpeeds = evenSteps(...box.speed, round === 0 ? 25 : 5);
    const lnFlows = box.flow[1] > box.flow[0] ? evenSteps(...box.flow, round === 0 ? 7 : 5) : [box.flow[0]];
    for (const lnFlow of lnFlows) {
      for (const lnSpeed of lnSpeeds) {
        const setting = { speedRpm: Math.exp(lnSpeed), flowM3PerH: Math.exp(lnFlow), feedKgPerH };
        const probability = chanceInBand(predictedProductAt(fit, setting, growth), judged);
        if (best === null || probability > best.probability) {
          best = { speedRpm: setting.speedRpm, flowM3PerH: setting.flowM3PerH, probability };
        }
      }
    }
    if (best === null) return null;
    const step = (list: readonly number[]) => itemAt(list, 1) - itemAt(list, 0);
    box = {
      speed: within(Math.log(best.speedRpm), Math.abs(step(lnSpeeds)), whole.speed),
      flow: lnFlows.length > 1 ? within(Math.log(best.flowM3PerH), step(lnFlows), whole.flow) : box.flow,
    };
  }
  return best;
}
