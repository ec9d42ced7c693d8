import { maxOf, minOf } from "#distributions/lists.ts";
import type { GainLost } from "#model/compare/gainLost.ts";
import type { NeckedShare } from "#model/compare/joining.ts";
import type { Humps } from "#model/lot/humps.ts";
import type { Estimate } from "#model/lot/leaveOneOut.ts";
import { excludes, isSameInAllRuns, scaled } from "#model/lot/leaveOneOut.ts";
import { figures, signedFigures } from "#model/words/wording.ts";
import type { StageStep } from "./stageStep.ts";

/** A hump is gained or lost only where both stages say surely how many they have. */
export function humpsChange(
  before: Humps["verdict"] | null,
  after: Humps["verdict"] | null,
): StageStep["humps"]["change"] {
  if (before === after && before !== null) return "same";
  if (before === "one hump" && after === "second hump") return "gained";
  if (before === "second hump" && after === "one hump") return "lost";
  return "not known";
}

const processes: Readonly<Record<string, string>> = {
  fired: "Firing",
  crushed: "Crushing",
  milled: "Milling",
  "re-fired": "Re-firing",
};

/** What one step did, in words: the shift, the fines, the area and the humps, each only as surely as the runs show it. */
export function stepSentence(step: Omit<StageStep, "sentence">): string {
  const name = processes[step.to] ?? `The step from ${step.from} to ${step.to}`;
  const { meanShiftPercent, crosses, fines, areaM2PerG, humps } = step;
  const shift = meanShiftPercent.value;
  const parts = [
    shift === null ? "" : shiftSentence(name, { ...meanShiftPercent, value: shift }, crosses),
    ...fines.map(finesSentence),
    areaM2PerG === null ? "" : areaSentence(areaM2PerG.change),
    humps.change === "gained" ? "A second mode appeared." : "",
    humps.change === "lost" ? "The second mode disappeared." : "",
  ];
  return parts.filter((part) => part !== "").join(" ");
}

/** An estimate whose value is known. */
type Known = Estimate & { readonly value: number };

function shiftSentence(name: string, shift: Known, crosses: boolean): string {
  if (excludes(shift, 0) === false)
    return `${name} did not change the mean size measurably: ${change(shift, "%")}${crosses ? "; the curves cross" : ""}.`;
  const direction = shift.value < 0 ? "finer" : "coarser";
  const crossing = crosses ? "; the curves cross, so part of it changed in the opposite direction" : "";
  return `${name} made the powder ${figures(Math.abs(shift.value))} % ${direction} on average${unsigned(shift)}${crossing}.`;
}

/** "The share below 1 µm changed by +0.23 points (0.1 to 0.3), +1.2 g (0.6 to 1.8)": grams change with the mass too, so each is given by itself. */
function finesSentence({ belowUm, points, grams }: StageStep["fines"][number]): string {
  if (points.value === null) return "";
  const withDoubt = (estimate: Estimate, unit: string) =>
    `${change(estimate, unit)}${excludes(estimate, 0) === false ? ", not distinguishable from zero" : ""}`;
  const mass =
    grams?.change.value == null
      ? ""
      : `${excludes(points, 0) === false ? ";" : ","} ${withDoubt(grams.change, "g")}`;
  return `The share below ${belowUm} µm changed by ${withDoubt(points, "percentage points")}${mass}.`;
}

function areaSentence(area: Estimate): string {
  if (area.value === null) return "";
  if (excludes(area, 0) === false)
    return `The geometric area did not change measurably: ${change(area, "m²/g")}.`;
  const verb = area.value > 0 ? "increased" : "decreased";
  return `The geometric area ${verb} by ${figures(Math.abs(area.value))} m²/g${unsigned(area)}.`;
}

/** Necking and growth on re-firing, said only where the interval leaves 0 out. */
export function neckedShareSentence(
  necking: NeckedShare,
  percentileRatios: Readonly<Record<string, Estimate>>,
): string {
  const { share, growthPercent, timesLarger, verdict } = necking;
  const necked =
    share.value === null
      ? ""
      : `The coarse end changed most: ${figures(100 * share.value)} %${unsigned(share, 100)} of the powder is in necked aggregates about ${figures(timesLarger, 2)} times as large as the single particles`;
  if (share.value !== null && share.value < leastNeckedShare && verdict === "joining")
    return `${belowShown}.`;
  if (share.value !== null && share.value < leastNeckedShare && verdict === "joining and growth")
    return growthPercent.value === null
      ? `${belowShown}.`
      : `All sizes grew by ${figures(Math.abs(growthPercent.value))} %${unsigned(growthPercent)}. ${belowShown}.`;
  switch (verdict) {
    case "joining":
      return `${necked}.`;
    case "joining and growth":
      return growthPercent.value === null
        ? `${necked}.`
        : `${necked}; in addition, all sizes grew by ${figures(Math.abs(growthPercent.value))} %${unsigned(growthPercent)}.`;
    case "growth":
      return `${growthText(percentileRatios)}. No necking can be detected.`;
    case "neither":
      return "Neither necking nor growth exceeds the run-to-run scatter.";
    case "too few runs":
      return "Necking cannot be assessed: it needs at least three runs of each stage.";
  }
}

/** Below this share necked aggregates are no headline: laser diffraction does not show so few. A judgement of ours. */
const leastNeckedShare = 0.005;
const belowShown = `Necked aggregates hold less than ${100 * leastNeckedShare} % of the powder, too little to be shown by these runs`;

/** Which sizes grew, by the percentiles themselves: fine and coarse ones may grow apart without any necking. */
function growthText(percentileRatios: Readonly<Record<string, Estimate>>): string {
  const known = Object.entries(percentileRatios)
    .sort(([a], [b]) => Number(a) - Number(b))
    .filter(([, ratio]) => ratio.value !== null);
  const grown = ([percent, ratio]: [string, Estimate]) => {
    const by = scaled(ratio, (v) => 100 * (v - 1));
    return `D${percent} by ${change(by, "%")}`;
  };
  const [fine, middle, coarse] = [known[0], known[Math.floor(known.length / 2)], known.at(-1)];
  if (fine === undefined || middle === undefined || coarse === undefined) return "The whole curve shifted";
  const [low, high] = [fine[1].interval, coarse[1].interval];
  if (low !== null && high !== null && (low.low > high.high || low.high < high.low))
    return `The ${low.low > high.high ? "fine" : "coarse"} sizes grew most: ${grown(fine)}, ${grown(coarse)}`;
  return `The whole curve shifted: ${grown(middle)}, the other percentiles alike`;
}

/**
 * "Re-firing reversed 42 % (38–46) of the size reduction by milling": by how far the mean size went back.
 *
 * @param kinds  of the steps of the line: the gain is counted from the fired powder on, so what crushing gained is in it
 */
export function gainLostSentence({ share, signedShare }: GainLost, kinds: readonly string[]): string {
  const isCrushedToo = kinds.includes("fired") && kinds.includes("crushed");
  const gain = `the size reduction by ${isCrushedToo ? "crushing and milling" : "milling"}`;
  if (signedShare.value === null || share.value === null)
    return "Milling did not change the size, so re-firing had nothing to reverse.";
  if (excludes(signedShare, 0) === false)
    return `Re-firing did not measurably reverse ${gain}: ${change(signedShare, "%", 100)}.`;
  if (signedShare.value < 0)
    return `Re-firing made the powder still finer, by ${figures(-100 * signedShare.value)} %${unsigned(signedShare, 100)} of ${gain}.`;
  const isOtherwise = Math.abs(share.value - signedShare.value) > 0.05;
  return `Re-firing reversed ${figures(100 * signedShare.value)} %${unsigned(signedShare, 100)} of ${gain}${isOtherwise ? `; the whole curve moved by ${figures(100 * share.value)} % of it` : ""}.`;
}

/** In place of an interval whose ends are one. */
export const sameInAllRuns = "the same in all runs";

/** A change with sign and interval; empty where it is not known. */
function change(estimate: Estimate, unit: string, times = 1): string {
  const { value, interval } = estimate;
  if (value === null) return "";
  const sure =
    interval === null
      ? ""
      : isSameInAllRuns(estimate)
        ? ` (${sameInAllRuns})`
        : ` (${signedFigures(interval.low * times)} to ${signedFigures(interval.high * times)})`;
  return `${signedFigures(value * times)} ${unit}${sure}`;
}

/** The interval of a size of change that leaves 0 out and whose direction is in words: " (38–46)", the smaller first; "" without one. */
function unsigned(estimate: Estimate, times = 1): string {
  const { interval } = estimate;
  if (interval === null) return "";
  if (isSameInAllRuns(estimate)) return ` (${sameInAllRuns})`;
  const ends = [Math.abs(interval.low * times), Math.abs(interval.high * times)];
  return ` (${figures(minOf(ends))}–${figures(maxOf(ends))})`;
}
