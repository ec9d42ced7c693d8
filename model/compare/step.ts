import { type Curve, curveOf, knownUndersizeAt, meanCurve, sizeAt } from "#distributions/curve.ts";
import { geometricSurface } from "#distributions/moments.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Estimate, estimatesOf, leaveOneOut, scaled } from "#model/lot/leaveOneOut.ts";
import { type Distances, distances } from "../../distributions/distances.ts";
import { noiseFloorOf } from "./against.ts";

/** One line of the fines balance: what a step did to the powder finer than a size. */
export interface FinesEntry {
  readonly belowUm: number;
  /** After less before, percentage points of Q. */
  readonly points: Estimate;
  /** Mass finer before, after and the change; null without the masses of both stages. */
  readonly grams: { readonly before: number; readonly after: number; readonly change: Estimate } | null;
}

/** What one step of the process did, from the runs before and after it. */
export interface StageChange {
  /** D after / D before, by per cent. */
  readonly percentileRatios: Readonly<Record<string, Estimate>>;
  readonly maxGapPoints: number;
  readonly atUm: number;
  /** The largest gap of a run before to the mean of the others: what a gap must exceed to mean anything; null for one run. */
  readonly noisePoints: number | null;
  /** 100·(exp(W1) − 1), never negative. */
  readonly shiftPercent: number;
  /** 100·(exp(difference of the mean ln x) − 1), positive where the powder became coarser. */
  readonly meanShiftPercent: Estimate;
  /** Part of the powder moved the other way. */
  readonly crosses: boolean;
  readonly fines: readonly FinesEntry[];
  /** Geometric area after less before, m²/g; null without a density. */
  readonly areaM2PerG: {
    readonly before: number | null;
    readonly after: number | null;
    readonly change: Estimate;
  } | null;
}

export interface StageChangeQuestion {
  readonly percents: readonly number[];
  readonly belowUm: readonly number[];
  readonly densityGPerCm3: number | null;
  /** Grams of powder before and after. */
  readonly grams: readonly [before: number, after: number] | null;
  readonly level: number;
}

const curvesOf = (runs: readonly NamedMeasurement[]) => meanCurve(runs.map((m) => curveOf(m.distribution)));

/**
 * A step between two stages, each the mean curve of its runs; intervals from leaving runs out.
 * Source: docs/science.md. Accuracy of the distances: exact for curves straight in ln x.
 */
export function stageChangeOf(
  before: readonly NamedMeasurement[],
  after: readonly NamedMeasurement[],
  asked: StageChangeQuestion,
): StageChange {
  const { percents, belowUm, densityGPerCm3, grams, level } = asked;
  const apart = distances(curvesOf(before), curvesOf(after));
  const joint = leaveOneOut([before, after], ([a = [], b = []]) => {
    const curveA = curvesOf(a);
    const curveB = curvesOf(b);
    const [gramsA, gramsB] = grams ?? [null, null];
    const area = difference(areaOf(a, densityGPerCm3), areaOf(b, densityGPerCm3));
    return [
      distances(curveA, curveB).meanLnShift,
      area,
      ...percents.map((p) => lnRatio(sizeAt(curveA, p / 100), sizeAt(curveB, p / 100))),
      ...belowUm.map((x) => difference(finer(curveA, x, 100), finer(curveB, x, 100))),
      ...belowUm.map((x) => difference(finer(curveA, x, gramsA), finer(curveB, x, gramsB))),
    ];
  });
  const found = estimatesOf(joint, level);
  const at = (i: number): Estimate => found[i] ?? { value: null, interval: null };
  const ratioFrom = 2;
  const pointsFrom = ratioFrom + percents.length;
  const gramsFrom = pointsFrom + belowUm.length;
  const curveA = curvesOf(before);
  const curveB = curvesOf(after);
  return {
    percentileRatios: Object.fromEntries(
      percents.map((p, i) => [String(p), scaled(at(ratioFrom + i), Math.exp)]),
    ),
    maxGapPoints: apart.maxGapPoints,
    atUm: apart.atUm,
    noisePoints: noiseFloorOf(before)?.maxGapPoints ?? null,
    shiftPercent: 100 * Math.expm1(apart.wassersteinLn),
    meanShiftPercent: scaled(at(0), (v) => 100 * Math.expm1(v)),
    crosses: crosses(apart),
    fines: belowUm.map((x, i): FinesEntry => {
      const [massBefore, massAfter] = [finer(curveA, x, grams?.[0]), finer(curveB, x, grams?.[1])];
      return {
        belowUm: x,
        points: at(pointsFrom + i),
        grams:
          massBefore === null || massAfter === null
            ? null
            : { before: massBefore, after: massAfter, change: at(gramsFrom + i) },
      };
    }),
    areaM2PerG:
      densityGPerCm3 === null
        ? null
        : { before: areaOf(before, densityGPerCm3), after: areaOf(after, densityGPerCm3), change: at(1) },
  };
}

/** The curves cross where a noticeable part of the shift goes the other way. */
function crosses({ wassersteinLn, meanLnShift }: Distances): boolean {
  return wassersteinLn > 1.05 * Math.abs(meanLnShift) && wassersteinLn > 1e-9;
}

function finer(curve: Curve, sizeUm: number, times: number | null | undefined): number | null {
  const share = knownUndersizeAt(curve, sizeUm);
  return share === null || times === null || times === undefined ? null : share * times;
}

/** Mean over the runs; null where one has none. */
function areaOf(runs: readonly NamedMeasurement[], densityGPerCm3: number | null): number | null {
  if (densityGPerCm3 === null) return null;
  let sum = 0;
  for (const { distribution } of runs) {
    const area = geometricSurface(distribution, densityGPerCm3);
    if (area === null) return null;
    sum += area.m2PerG;
  }
  return sum / runs.length;
}

function difference(a: number | null, b: number | null): number | null {
  return a === null || b === null ? null : b - a;
}

function lnRatio(a: number | null, b: number | null): number | null {
  return a === null || b === null ? null : Math.log(b / a);
}
