import type { GainLost } from "#model/compare/gainLost.ts";
import type { NeckedShare } from "#model/compare/joining.ts";
import type { Humps } from "#model/fit/humps.ts";
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

const deeds: Readonly<Record<string, string>> = {
  fired: "Firing",
  crushed: "Crushing",
  milled: "Milling",
  "re-fired": "Re-firing",
};

/** What one step did, in words: the shift, the fines, the area and the humps, each only as surely as the runs show it. */
export function stepSentence(step: Omit<StageStep, "sentence">): string {
  const who = deeds[step.to] ?? `From ${step.from} to ${step.to}, the step`;
  const { meanShiftPercent, crosses, fines, areaM2PerG, humps } = step;
  const moved = meanShiftPercent.value ?? 0;
  const parts =
    excludes(meanShiftPercent, 0) === false
      ? [
          `${who} left the mean size where it was, as far as the runs can tell (${change(meanShiftPercent, "%")})${crosses ? ", though the curves cross" : ""}.`,
        ]
      : [
          `${who} made the powder ${figures(Math.abs(moved))} % ${moved < 0 ? "finer" : "coarser"} on average${unsigned(meanShiftPercent)}${crosses ? "; the curves cross, so part of it moved the other way" : ""}.`,
        ];
  for (const entry of fines) if (entry.points.value !== null) parts.push(finesSentence(entry));
  if (areaM2PerG !== null && areaM2PerG.change.value !== null) parts.push(areaSentence(areaM2PerG.change));
  if (humps.change === "gained") parts.push("A second hump appeared.");
  if (humps.change === "lost") parts.push("The second hump is gone.");
  return parts.join(" ");
}

/** "Below 1 µm: +0.23 points (0.1 to 0.3), +1.2 g (0.6 to 1.8)": grams change with the mass too, so each is told by itself. */
function finesSentence({ belowUm, points, grams }: StageStep["fines"][number]): string {
  const told = (estimate: Estimate, unit: string) =>
    `${change(estimate, unit)}${excludes(estimate, 0) === false ? ", which the runs cannot tell from none" : ""}`;
  const mass =
    grams?.change.value == null
      ? ""
      : `${excludes(points, 0) === false ? ";" : ","} ${told(grams.change, "g")}`;
  return `Below ${figures(belowUm)} µm: ${told(points, "points")}${mass}.`;
}

function areaSentence(area: Estimate): string {
  const size = `${figures(Math.abs(area.value ?? 0))} m²/g`;
  if (excludes(area, 0) === false)
    return `The area is unchanged as far as the runs can tell (${change(area, "m²/g")}).`;
  const verb = (area.value ?? 0) > 0 ? "made" : "healed";
  return `It ${verb} ${size} of area${unsigned(area)}.`;
}

/** Joining and growth on re-firing, said only where the interval leaves 0 out. */
export function neckedShareSentence(
  joining: NeckedShare,
  percentileRatios: Readonly<Record<string, Estimate>>,
): string {
  const { share, growthPercent, timesLarger, verdict } = joining;
  const joined = `${figures(100 * (share.value ?? 0))} %${unsigned(share, 100)} of the powder joined into pieces about ${figures(timesLarger, 2)} times as large`;
  switch (verdict) {
    case "joining":
      return `The coarse end moved most: ${joined}.`;
    case "joining and growth":
      return `The coarse end moved most: ${joined}; beside that every size grew by ${figures(Math.abs(growthPercent.value ?? 0))} %${unsigned(growthPercent)}.`;
    case "growth":
      return `${growthText(percentileRatios)}; no joining can be told.`;
    case "neither":
      return "Neither joining nor growth can be told from the scatter of the runs.";
    case "too few runs":
      return "Whether pieces joined cannot be told: three runs of each stage are needed.";
  }
}

/** Which sizes grew, by the percentiles themselves: fine and coarse ones may grow apart without any joining. */
function growthText(percentileRatios: Readonly<Record<string, Estimate>>): string {
  const known = Object.entries(percentileRatios)
    .sort(([a], [b]) => Number(a) - Number(b))
    .filter(([, ratio]) => ratio.value !== null);
  const grown = ([percent, ratio]: [string, Estimate]) => {
    const by = scaled(ratio, (v) => 100 * (v - 1));
    return `D${percent} by ${change(by, "%")}`;
  };
  const [fine, middle, coarse] = [known[0], known[Math.floor(known.length / 2)], known.at(-1)];
  if (fine === undefined || middle === undefined || coarse === undefined) return "The whole curve moved";
  const [low, high] = [fine[1].interval, coarse[1].interval];
  if (low !== null && high !== null && (low.low > high.high || low.high < high.low))
    return `The ${low.low > high.high ? "fine" : "coarse"} sizes grew most: ${grown(fine)}, ${grown(coarse)}`;
  return `The whole curve moved: ${grown(middle)}, the others alike`;
}

/**
 * "Re-firing undid 42 % of the milling gain (38–46 %)": by how far the mean size went back.
 *
 * @param stages  of the line: the gain is counted from the fired powder on, so what crushing gained is in it
 */
export function gainLostSentence({ share, signedShare }: GainLost, stages: readonly string[]): string {
  const isCrushedToo = stages.includes("fired") && stages.includes("crushed");
  const gain = isCrushedToo ? "gain of crushing and milling" : "milling gain";
  if (signedShare.value === null || share.value === null)
    return "Milling moved nothing, so nothing was lost.";
  const sure = excludes(signedShare, 0);
  if (sure === false)
    return `None of the ${gain} is surely lost on re-firing (${change(signedShare, "%", 100)}).`;
  if (signedShare.value < 0)
    return `Re-firing went on where milling left off, by ${figures(-100 * signedShare.value)} % of the ${gain}${unsigned(signedShare, 100)}.`;
  const other = Math.abs(share.value - signedShare.value) > 0.05;
  return `Re-firing undid ${figures(100 * signedShare.value)} % of the ${gain}${unsigned(signedShare, 100)}${other ? `; the curve as a whole moved by ${figures(100 * share.value)} % of it` : ""}.`;
}

/** In place of an interval whose ends are one. */
export const sameInAllRuns = "the same in all runs";

/** A change with sign and interval. */
function change(estimate: Estimate, unit: string, times = 1): string {
  const { value, interval } = estimate;
  const sure =
    interval === null
      ? ""
      : isSameInAllRuns(estimate)
        ? ` (${sameInAllRuns})`
        : ` (${signedFigures(interval.low * times)} to ${signedFigures(interval.high * times)})`;
  return `${signedFigures((value ?? 0) * times)} ${unit}${sure}`;
}

/** The interval of a size of change that leaves 0 out and whose direction is in words: " (38–46)", the smaller first; "" without one. */
function unsigned(estimate: Estimate, times = 1): string {
  const { interval } = estimate;
  if (interval === null) return "";
  if (isSameInAllRuns(estimate)) return ` (${sameInAllRuns})`;
  const ends = [interval.low, interval.high].map((v) => Math.abs(v * times)).sort((a, b) => a - b);
  return ` (${figures(ends[0] ?? 0)}–${figures(ends[1] ?? 0)})`;
}
