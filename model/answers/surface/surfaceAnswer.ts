import { sampleStandardDeviation } from "simple-statistics";
import { geometricSurface } from "#distributions/moments.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement, SizeDistribution } from "#distributions/sizeDistribution.ts";
import { minRunsForInterval, type OverRuns, overRuns } from "#model/lot/overRuns.ts";
import { type AreaOfClass, areaBySize, areaBySizeOver } from "#model/surface/areaBySize.ts";
import { type BetPair, betRatio, minPairs } from "#model/surface/bet.ts";
import { type PredictedBet, predictedBet } from "#model/surface/predictedBet.ts";
import type { CalibrationMetadata } from "#model/surface/stale.ts";
import { counted, figures } from "#model/words/wording.ts";
import { predictedBetSentence } from "./predictedBetWords.ts";

export interface SurfaceOptions {
  readonly densityGPerCm3: number;
  readonly pairs?: readonly BetPair[];
  /** The stage whose pairs apply; without it every pair given is used. */
  readonly stage?: string;
  /** Chance that the interval holds the BET value to come; 0.95 when left out. */
  readonly level?: number;
  /** How the powder was measured; pairs measured otherwise are left out of what is ahead. */
  readonly now?: CalibrationMetadata;
  /** Specification of the BET area. */
  readonly betLow?: number;
  readonly betHigh?: number;
  /** The BET area that came back. */
  readonly betFound?: number;
}

export interface ExpectedBet {
  readonly median: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly level: number;
}

export interface Surface {
  readonly file: string | null;
  readonly name: string;
  readonly geometricM2PerG: number | null;
  readonly isLowerBound: boolean;
  readonly betM2PerG: ExpectedBet | null;
  /** How many pairs the expectation rests on. */
  readonly pairs: number;
  readonly bySize: readonly AreaOfClass[];
}

export interface SurfaceAnswer {
  readonly measurements: readonly Surface[];
  /** The geometric area over the measurements, taken as runs of one lot. */
  readonly overRuns: OverRuns;
  /** What the area rests on, over all runs; that of the first where their classes differ. */
  readonly bySize: readonly AreaOfClass[];
  /** Of the lot: the BET area to expect, its chance, and a value that came back; null without an area. */
  readonly ahead: PredictedBet | null;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/**
 * Geometric area, what it rests on by size, and the BET area to expect.
 * @throws DomainError  a density or level out of range
 */
export function surfaceAnswer(
  measurements: readonly NamedMeasurement[],
  options: SurfaceOptions,
): SurfaceAnswer {
  const { densityGPerCm3, pairs = [], stage, level = 0.95, now, betLow, betHigh, betFound } = options;
  const ratio = betRatio(pairs, stage ?? null, level);
  const problems: Problem[] = [];
  const surfaces = measurements.map((one): Surface => {
    const surface = geometricSurface(one.distribution, densityGPerCm3);
    const at = { file: one.file, measurement: one.name };
    if (surface === null) {
      problems.push(
        problem(
          "refused",
          `${one.name}: no area, since ${whyNoArea(one.distribution)}. Measure further, or give the finest class a lower edge.`,
          at,
        ),
      );
    } else if (surface.isLowerBound) {
      problems.push(
        problem(
          "note",
          `${one.name}: powder outside the classes adds area that is not counted, so the area is a lower bound.`,
          at,
        ),
      );
    }
    const times = (k: number | null) => (surface === null || k === null ? null : surface.m2PerG * k);
    const end = (k: number | null) => (surface?.isLowerBound === true ? null : times(k));
    const median = times(ratio?.median ?? null);
    return {
      file: one.file,
      name: one.name,
      geometricM2PerG: surface?.m2PerG ?? null,
      isLowerBound: surface?.isLowerBound ?? false,
      betM2PerG:
        ratio === null || median === null
          ? null
          : { median, low: end(ratio.low), high: end(ratio.high), level },
      pairs: ratio?.pairs ?? 0,
      bySize: areaBySize(one.distribution) ?? [],
    };
  });
  if (ratio === null || ratio.pairs < minPairs) {
    const have = ratio?.pairs ?? 0;
    problems.push(
      problem(
        "note",
        `${have === 0 ? "What BET to expect is a guess" : "The expected BET has no interval"}: ${counted(have, "pair")} of geometric and BET area${stage === undefined ? "" : ` for the stage ${stage}`}; ${counted(minPairs, "pair")} are needed. Note one each time a BET value comes back.`,
        {
          found: counted(have, "pair"),
          expected: `${counted(minPairs, "pair")} or more`,
        },
      ),
    );
  }
  const over = overRuns(
    surfaces.map((s) => s.geometricM2PerG),
    level,
  );
  if (surfaces.length > 0 && surfaces.length < minRunsForInterval)
    problems.push(
      problem(
        "note",
        `The geometric area has no interval: ${counted(surfaces.length, "run")} cannot show how the runs spread. Three are needed.`,
        {
          found: counted(surfaces.length, "run"),
          expected: "three runs or more",
          effect: "a number stays unknown",
        },
      ),
    );
  const areaU = relativeUOfMean(surfaces.map((s) => s.geometricM2PerG));
  const ahead =
    over.value === null
      ? null
      : predictedBet(
          pairs.filter((pair) => stage === undefined || pair.stage === stage),
          over.value,
          {
            level,
            isLowerBound: surfaces.some((s) => s.isLowerBound),
            now: { densityGPerCm3, ...now },
            low: betLow ?? null,
            high: betHigh ?? null,
            cameBackM2PerG: betFound ?? null,
            ...(areaU === null ? {} : { areaRelativeU: areaU }),
          },
        );
  const rests = restsOn(surfaces);
  return {
    measurements: surfaces,
    overRuns: over,
    bySize: rests.bySize,
    ahead,
    sentence: sentenceOf(surfaces, over, ahead, rests),
    problems,
  };
}

/** Of the mean of three runs or more, from their own scatter. */
function relativeUOfMean(areas: readonly (number | null)[]): number | null {
  const logs = areas.flatMap((a) => (a === null ? [] : [Math.log(a)]));
  if (logs.length < minRunsForInterval) return null;
  return sampleStandardDeviation(logs) / Math.sqrt(logs.length);
}

/** Why the geometric area of a distribution is not known. */
export function whyNoArea(m: SizeDistribution): string {
  return m.shares.every((share) => share === 0)
    ? "all of the powder lies outside the classes"
    : `a ${m.quantity} measurement with a share outside its classes cannot be counted by volume`;
}

/** The finest classes that together carry so much of the area; null where all of them do not. */
export function finestCarrying(
  bySize: readonly AreaOfClass[],
  least: number,
): { readonly belowUm: number; readonly share: number } | null {
  let share = 0;
  for (const { toUm, share: part } of bySize) {
    share += part;
    if (share >= least) return { belowUm: toUm, share };
  }
  return null;
}

/** What the area rests on, and whether that is of the first run alone. */
interface Rests {
  readonly bySize: readonly AreaOfClass[];
  readonly isOfFirst: boolean;
}

function restsOn(surfaces: readonly Surface[]): Rests {
  const known = surfaces.flatMap(({ geometricM2PerG, bySize }) =>
    geometricM2PerG === null ? [] : [{ areaM2PerG: geometricM2PerG, bySize }],
  );
  const together = areaBySizeOver(known);
  return { bySize: together ?? known[0]?.bySize ?? [], isOfFirst: together === null };
}

function sentenceOf(
  surfaces: readonly Surface[],
  over: OverRuns,
  ahead: PredictedBet | null,
  { bySize, isOfFirst }: Rests,
): string {
  const known = surfaces.filter((s) => s.geometricM2PerG !== null);
  if (known.length === 0) return "No area can be given.";
  const mean = known.reduce((sum, s) => sum + (s.geometricM2PerG ?? 0), 0) / known.length;
  const parts = [
    `Geometric area ${known.some((s) => s.isLowerBound) ? "at least " : ""}${figures(mean)} m²/g${over.low === null || over.high === null ? "" : ` (${figures(over.low)}–${figures(over.high)}, ${counted(over.runs, "run")})`}.`,
  ];
  if (ahead !== null) parts.push(predictedBetSentence(ahead));
  const half = finestCarrying(bySize, 0.5);
  if (half !== null)
    parts.push(
      `Sizes below ${figures(half.belowUm)} µm carry ${Math.round(half.share * 100)} % of the area${known.some((s) => s.isLowerBound) ? " that is seen" : ""}${isOfFirst ? ", in the first run" : ""}.`,
    );
  return parts.join(" ");
}
