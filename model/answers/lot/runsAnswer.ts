import { mean, sampleStandardDeviation } from "simple-statistics";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { copiesAmong } from "#model/lot/copies.ts";
import { type CvLimits, cvLimits } from "#model/lot/cvLimits.ts";
import { type LotsBy, lotsOf } from "#model/lot/lotsOf.ts";
import { oddRun } from "#model/lot/oddRun.ts";
import { type PooledSpread, pooledSpread } from "#model/lot/overRuns.ts";
import { type Trend, trendOf } from "#model/lot/trends.ts";
import { capital, counted, countWord, figures, listed } from "#model/words/wording.ts";

export interface RunsQuestion {
  /** ISO 13320 when left out. */
  readonly limits?: CvLimits;
  readonly lotsBy?: LotsBy;
}

export const percents = [10, 50, 90] as const;

/** The scatter of one percentile over a lot's runs. */
export interface RunScatter {
  readonly percent: number;
  readonly meanUm: number | null;
  /** Coefficient of variation; null below three runs. */
  readonly cvPercent: number | null;
  readonly allowedPercent: number;
  /** Null below five runs, where a CV knows too little to be judged. */
  readonly isWithin: boolean | null;
  readonly trend: Trend;
}

export interface RepeatRuns {
  readonly file: string | null;
  readonly runs: readonly string[];
  readonly scatter: readonly RunScatter[];
  /** The run that stands out, by name. */
  readonly odd: {
    readonly name: string;
    readonly gapPoints: number;
    readonly atUm: number;
    readonly othersPoints: number;
  } | null;
  readonly identical: readonly (readonly [string, string])[];
  readonly meansOfOthers: readonly string[];
  readonly sentence: string;
}

export interface RunsAnswer {
  readonly lots: readonly RepeatRuns[];
  /** Of ln D, pooled over the lots, keyed by per cent; null where no lot has two runs. */
  readonly pooled: Readonly<Record<string, PooledSpread | null>>;
  readonly limits: CvLimits;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

const minForCv = 3;
const minToJudge = 5;

/**
 * Whether the repeat runs of each lot repeat: scatter against limits, the odd run, trends, copies.
 * Source: ISO 13320 and USP <429> for limits (second-hand), ISO 5725-2 for pooling; docs/science.md.
 */
export function runsAnswer(measurements: readonly NamedMeasurement[], asked: RunsQuestion = {}): RunsAnswer {
  const { limits = cvLimits["iso-13320"], lotsBy = "file" } = asked;
  const groups = lotsOf(measurements, lotsBy);
  const sizesOf = (runs: readonly NamedMeasurement[], percent: number) =>
    runs.map((run) => sizeAt(curveOf(run.distribution), percent / 100));
  const pooled = Object.fromEntries(
    percents.map((p) => [String(p), pooledSpread(groups.map(({ runs }) => sizesOf(runs, p)))]),
  );
  const lots = groups.map(({ file, runs }): RepeatRuns => {
    const d50 = sizesOf(runs, 50).filter((v) => v !== null);
    const isDoubled = limits.doubledBelowUm !== null && d50.length > 0 && mean(d50) < limits.doubledBelowUm;
    const scatter = percents.map((p) =>
      scatterOf(p, sizesOf(runs, p), allowedAt(limits, p) * (isDoubled ? 2 : 1), pooled[String(p)] ?? null),
    );
    const curves = runs.map((run) => curveOf(run.distribution));
    const name = (i: number) => runs[i]?.name ?? "";
    const odd = oddRun(curves);
    const copies = copiesAmong(curves);
    const lot = {
      file,
      runs: runs.map((run) => run.name),
      scatter,
      odd: odd === null ? null : { ...odd, name: name(odd.index) },
      identical: copies.identical.map(([a, b]) => [name(a), name(b)] as const),
      meansOfOthers: copies.meansOfOthers.map(name),
    };
    return { ...lot, sentence: sentenceOf(lot) };
  });
  return {
    lots,
    pooled,
    limits,
    sentence: lots.map((lot) => lot.sentence).join(" ") || "There are no runs to assess.",
    problems: lots.flatMap(problemsOf),
  };
}

function allowedAt(limits: CvLimits, percent: (typeof percents)[number]): number {
  return { 10: limits.d10Percent, 50: limits.d50Percent, 90: limits.d90Percent }[percent];
}

function scatterOf(
  percent: number,
  sizes: readonly (number | null)[],
  allowedPercent: number,
  pooled: PooledSpread | null,
): RunScatter {
  const known = sizes.filter((v) => v !== null);
  const isWhole = known.length === sizes.length && known.length > 0;
  const meanUm = isWhole ? mean(known) : null;
  const cvPercent =
    meanUm === null || known.length < minForCv ? null : (100 * sampleStandardDeviation(known)) / meanUm;
  return {
    percent,
    meanUm,
    cvPercent,
    allowedPercent,
    isWithin: cvPercent === null || known.length < minToJudge ? null : cvPercent <= allowedPercent,
    trend: trendOf(
      sizes.map((v) => (v === null ? null : Math.log(v))),
      pooled === null || pooled.degrees < 10 ? null : pooled.sdLn,
    ),
  };
}

type Lot = Omit<RepeatRuns, "sentence">;

function sentenceOf(lot: Lot): string {
  const count = lot.runs.length;
  const shown = lot.scatter.flatMap(({ percent, cvPercent }) =>
    cvPercent === null ? [] : [{ percent, cvPercent }],
  );
  const parts: string[] = [];
  if (shown.length === 0) {
    parts.push(
      `${capital(counted(count, "run"))} cannot show the run-to-run scatter; at least three are needed.`,
    );
  } else {
    const cvs = listed(shown.map((s) => `${figures(s.cvPercent)} % for D${s.percent}`));
    const failing = lot.scatter.filter((s) => s.isWithin === false);
    const isJudged = lot.scatter.some((s) => s.isWithin !== null);
    const verdict = !isJudged
      ? "a judgement needs at least five runs"
      : failing.length === 0
        ? "within the limits"
        : `above the limit for ${listed(failing.map((s) => `D${s.percent} (${figures(s.allowedPercent)} %)`))}`;
    parts.push(`${capital(counted(count, "run"))} have a coefficient of variation of ${cvs}: ${verdict}.`);
  }
  const { odd } = lot;
  if (odd !== null)
    parts.push(
      `${odd.name} is an outlier: at ${figures(odd.atUm)} µm it lies ${figures(odd.gapPoints)} percentage points from the mean of the other runs, which differ there by at most ${figures(odd.othersPoints)} percentage points.`,
    );
  for (const [a, b] of lot.identical)
    parts.push(`${a} and ${b} are identical to the last digit: one is a copy and does not count as a run.`);
  for (const name of lot.meansOfOthers)
    parts.push(`${name} is the mean of the other runs, not a run: exclude it.`);
  // An odd run bends every order of the runs.
  if (odd === null) parts.push(trendText(lot.scatter));
  return parts.filter((part) => part !== "").join(" ");
}

/** The trend that matters most; its likely cause only where the runs scatter beyond their limits. */
function trendText(scatter: readonly RunScatter[]): string {
  for (const percent of [90, 10, 50] as const) {
    const of = scatter.find((s) => s.percent === percent);
    if (of === undefined || of.trend === "steady") continue;
    const others = percent === 10 ? " while D90 is constant" : "";
    const said = `D${percent} ${of.trend === "falling" ? "falls" : "rises"} from run to run${others}`;
    const isWithin = of.cvPercent !== null && of.cvPercent <= of.allowedPercent;
    return `${
      isWithin
        ? `${said}, within the limits of the run-to-run scatter.`
        : `${said}: ${causes[percent][of.trend]}`
    } ${intervalsWords}`;
  }
  return "";
}

/** Source: the simulated coverage of docs/validation.md, runs of which each keeps half of the departure of the one before it. */
const intervalsWords =
  "The intervals assume independent runs. Where each run keeps part of the departure of the run before it, they are too narrow: if it keeps half, 77 % of the 95 % intervals of six runs hold the true value.";

const unsteady = "the sample has not reached a steady state.";

const causes = {
  90: {
    falling:
      "the powder is still dispersing, or coarse particles settle before they are measured. Wait until D90 is constant, and check whether the obscuration falls as well.",
    rising: "the powder re-agglomerates in the dispersant, or coarse particles reach the cell late.",
  },
  10: {
    falling: "the dispersion breaks particles. Disperse with less energy.",
    rising: "fines are lost or dissolve.",
  },
  50: { falling: unsteady, rising: unsteady },
} as const;

function problemsOf(lot: RepeatRuns): Problem[] {
  const at = { file: lot.file };
  const problems: Problem[] = [];
  if (lot.runs.length < minForCv)
    problems.push(
      problem(
        "note",
        `${capital(counted(lot.runs.length, "run"))} ${lot.runs.length === 1 ? "gives" : "give"} no coefficient of variation; at least three are needed.`,
        {
          ...at,
          found: counted(lot.runs.length, "run"),
          expected: "three runs or more",
          effect: "a number stays unknown",
        },
      ),
    );
  else if (lot.runs.length < minToJudge)
    problems.push(
      problem(
        "note",
        `The coefficients of variation are shown but not judged, and neither outliers nor trends are reported: this needs five runs. The intervals assume independent runs, which ${countWord(lot.runs.length)} cannot show: if each keeps half of the departure of the run before it, ${lot.runs.length === minForCv ? 86 : 82} % of the 95 % intervals hold the true value.`,
        {
          ...at,
          found: counted(lot.runs.length, "run"),
          expected: "five runs or more",
        },
      ),
    );
  const lost = lot.scatter.filter((s) => s.meanUm === null).map((s) => `D${s.percent}`);
  if (lost.length > 0)
    problems.push(
      problem(
        "note",
        `${listed(lost)} ${lost.length === 1 ? "is" : "are"} not known: at least one run does not reach so far.`,
        {
          ...at,
          effect: "a number stays unknown",
        },
      ),
    );
  return problems;
}
