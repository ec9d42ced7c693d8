import { bandChance, chanceText, figures } from "#model/words/wording.ts";
import type { InBand } from "./inBandAnswer.ts";

/** Where the chance is greatest, which need be neither the speed asked nor the one for a D50; empty where it was not sought. */
export function greatestChance({
  bestSpeedRpm: speed,
  bestFlowM3PerH: flow,
  bestProbability: probability,
}: InBand): string {
  if (speed === null || probability === null) return "";
  const gas = flow === null ? "" : ` and ${figures(flow)} m³/h`;
  return `Highest ${bandChance}: ${chanceText(probability)} at ${Math.round(Number(speed.toPrecision(3))).toLocaleString("en-GB")} rpm${gas}.`;
}
