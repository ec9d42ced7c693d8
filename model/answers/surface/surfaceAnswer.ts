import { mean, sampleStandardDeviation } from "simple-statistics";
import { curveOf } from "#distributions/curve.ts";
import { zip } from "#distributions/lists.ts";
import { geometricSurface } from "#distributions/moments.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement, SizeDistribution } from "#distributions/sizeDistribution.ts";
import { ownRuns } from "#model/lot/copies.ts";
import { minRunsForInterval, type OverRuns, overRuns } from "#model/lot/overRuns.ts";
import { type AreaOfClass, areaBySize, areaBySizeOver } from "#model/surface/areaBySize.ts";
import { type BetPair, type BetRatio, betRatio, minPairs } from "#model/surface/bet.ts";
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
  /** How the powder was measured; pairs measured otherwise are not used for the prediction. */
  readonly now?: CalibrationMetadata;
  /** Specification of the BET area. */
  readonly betLow?: number;
  readonly betHigh?: number;
  /** The measured BET area. */
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
  /** How many pairs the prediction rests on. */
  readonly pairs: number;
  readonly bySize: readonly AreaOfClass[];
}

export interface SurfaceAnswer {
  readonly measurements: readonly Surface[];
  /** The geometric area over the measurements, taken as runs of one lot. */
  readonly overRuns: OverRuns;
  /** The sizes that carry the area, over all runs; that of the first where their classes differ. */
  readonly bySize: readonly AreaOfClass[];
  /** Of the lot: the predicted BET area, its chance, and the measured value; null without an area. */
  readonly ahead: PredictedBet | null;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/**
 * Geometric area, the sizes that carry it, and the predicted BET area.
 * @throws DomainError  a density or level out of range
 */
export function surfaceAnswer(
  measurements: readonly NamedMeasurement[],
  options: SurfaceOptions,
): SurfaceAnswer {
  const { densityGPerCm3, pairs = [], stage, level = 0.95 } = options;
  const ratio = betRatio(pairs, stage ?? null, level);
  const surfaces = measurements.map((one) => surfaceOf(one, densityGPerCm3, ratio, level));
  const each = zip(measurements, surfaces);
  const own = ownRuns(each, ([one]) => curveOf(one.distribution)).map(([, surface]) => surface);
  const over = overRuns(
    own.map((s) => s.geometricM2PerG),
    level,
  );
  const ahead = over.value === null ? null : predictedFor(over.value, own, options);
  const basis = basisOf(own);
  return {
    measurements: surfaces,
    overRuns: over,
    bySize: basis.bySize,
    ahead,
    sentence: sentenceOf(own, over, ahead, basis),
    problems: [
      ...measurements.flatMap((one, i) => areaProblem(one, surfaces[i])),
      ...fewPairs(ratio, stage),
      ...fewRuns(own.length),
    ],
  };
}

/** Of the mean of three runs or more, from their own scatter. */
function relativeUOfMean(areas: readonly (number | null)[]): number | null {
  const logs = areas.flatMap((a) => (a === null ? [] : [Math.log(a)]));
  if (logs.length < minRunsForInterval) return null;
  return sampleStandardDeviation(logs) / Math.sqrt(logs.length);
}

function surfaceOf(
  one: NamedMeasurement,
  densityGPerCm3: number,
  ratio: BetRatio | null,
  level: number,
): Surface {
  const surface = geometricSurface(one.distribution, densityGPerCm3);
  const isLowerBound = surface?.isLowerBound ?? false;
  const times = (k: number | null) => (surface === null || k === null ? null : surface.m2PerG * k);
  const end = (k: number | null) => (isLowerBound ? null : times(k));
  const median = ratio === null ? null : times(ratio.median);
  return {
    file: one.file,
    name: one.name,
    geometricM2PerG: surface?.m2PerG ?? null,
    isLowerBound,
    betM2PerG:
      ratio === null || median === null
        ? null
        : { median, low: end(ratio.low), high: end(ratio.high), level },
    pairs: pairsOf(ratio),
    bySize: areaBySize(one.distribution) ?? [],
  };
}

const pairsOf = (ratio: BetRatio | null) => (ratio === null ? 0 : ratio.pairs);

function predictedFor(
  areaM2PerG: number,
  surfaces: readonly Surface[],
  { densityGPerCm3, pairs = [], stage, level = 0.95, now, betLow, betHigh, betFound }: SurfaceOptions,
): PredictedBet {
  const areaRelativeU = relativeUOfMean(surfaces.map((s) => s.geometricM2PerG));
  return predictedBet(
    pairs.filter((pair) => stage === undefined || pair.stage === stage),
    areaM2PerG,
    {
      level,
      isLowerBound: surfaces.some((s) => s.isLowerBound),
      now: { densityGPerCm3, ...now },
      low: betLow ?? null,
      high: betHigh ?? null,
      cameBackM2PerG: betFound ?? null,
      ...(areaRelativeU === null ? {} : { areaRelativeU }),
    },
  );
}

function areaProblem(one: NamedMeasurement, surface: Surface | undefined): Problem[] {
  const at = { file: one.file, measurement: one.name };
  if (surface?.geometricM2PerG == null)
    return [
      problem(
        "refused",
        `${one.name} has no area: ${whyNoArea(one.distribution)}. Measure a wider size range, or give the finest class a lower edge.`,
        at,
      ),
    ];
  if (!surface.isLowerBound) return [];
  return [
    problem(
      "note",
      `${one.name}: powder outside the size classes adds an unknown area, so the geometric area is a lower bound.`,
      at,
    ),
  ];
}

function fewPairs(ratio: BetRatio | null, stage: string | undefined): Problem[] {
  const have = pairsOf(ratio);
  if (have >= minPairs) return [];
  const ofStage = stage === undefined ? "" : ` for the ${stage} stage`;
  const what =
    have === 0 ? "The predicted BET area is a rough estimate" : "The predicted BET area has no interval";
  return [
    problem(
      "note",
      `${what}: the BET calibration has ${counted(have, "pair")} of geometric and BET area${ofStage} and needs ${counted(minPairs, "pair")}. Add a pair with every BET result.`,
      { found: counted(have, "pair"), expected: `${counted(minPairs, "pair")} or more` },
    ),
  ];
}

function fewRuns(runs: number): Problem[] {
  if (runs === 0 || runs >= minRunsForInterval) return [];
  return [
    problem(
      "note",
      `The geometric area has no interval: ${counted(runs, "run")} cannot show the run-to-run scatter. At least three runs are needed.`,
      {
        found: counted(runs, "run"),
        expected: "three runs or more",
        effect: "a number stays unknown",
      },
    ),
  ];
}

/** Why the geometric area of a distribution is not known. */
export function whyNoArea(m: SizeDistribution): string {
  return m.shares.every((share) => share === 0)
    ? "all of the powder lies outside the size classes"
    : `a ${m.quantity} measurement with powder outside its size classes cannot be converted to volume`;
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

/** Which sizes carry the area, and whether that is of the first run alone. */
interface AreaBasis {
  readonly bySize: readonly AreaOfClass[];
  readonly isOfFirst: boolean;
}

function basisOf(surfaces: readonly Surface[]): AreaBasis {
  const known = surfaces.flatMap(({ geometricM2PerG, bySize }) =>
    geometricM2PerG === null ? [] : [{ areaM2PerG: geometricM2PerG, bySize }],
  );
  const together = areaBySizeOver(known);
  return { bySize: together ?? known[0]?.bySize ?? [], isOfFirst: together === null };
}

function sentenceOf(
  surfaces: readonly Surface[],
  over: OverRuns,
  predicted: PredictedBet | null,
  { bySize, isOfFirst }: AreaBasis,
): string {
  const known = surfaces.flatMap((s) => s.geometricM2PerG ?? []);
  if (known.length === 0) return "No area can be calculated.";
  const isLowerBound = surfaces.some((s) => s.isLowerBound && s.geometricM2PerG !== null);
  const interval =
    over.low === null || over.high === null
      ? ""
      : ` (${figures(over.low)}–${figures(over.high)}, ${counted(over.runs, "run")})`;
  const half = finestCarrying(bySize, 0.5);
  return [
    `The geometric area is ${isLowerBound ? "at least " : ""}${figures(mean(known))} m²/g${interval}.`,
    predicted === null ? "" : predictedBetSentence(predicted),
    half === null
      ? ""
      : `Sizes below ${figures(half.belowUm)} µm carry ${Math.round(half.share * 100)} % of the ${isLowerBound ? "measured " : ""}area${isOfFirst ? " in the first run" : ""}.`,
  ]
    .filter((part) => part !== "")
    .join(" ");
}
