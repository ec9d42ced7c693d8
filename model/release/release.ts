import type { Limits } from "#model/numbers/jointChance.ts";
import { type Conformance, chanceFromRuns, type DrawsFor, freshDraws } from "./chanceFromRuns.ts";
import { type Contradiction, contradiction, ifProcessIsAsItWas, lotsNeeded, processOf } from "./process.ts";
import { mostReleasedThoughOut, type RiskOfRule, riskOfRule } from "./risks.ts";
import { type LotPortions, lotMean, pooledScatter } from "./scatter.ts";

export interface ReleaseQuestion {
  /** The runs of the lot that is judged, by portion. */
  readonly lot: LotPortions;
  /** The kept lots of the ground that it is measured on, oldest first, without that lot. */
  readonly kept: readonly LotPortions[];
  readonly limits: readonly Limits[];
  /** Standard deviation of a portion about its lot, on each row's scale; null where none was entered. */
  readonly samplingSd?: readonly number[] | null;
}

/** How likely a lot conforms, by two readings that are never mixed. */
export interface ReleaseFigures {
  /** What the figures are about: without a sampling SD only the portion that was measured. */
  readonly of: "portion measured" | "lot";
  /** Degrees of freedom of the pooled scatter. */
  readonly degrees: number;
  /** Other lots with repeat runs, whose scatter is pooled with this lot's; none of them says where the lot lies. */
  readonly scatterLots: number;
  readonly fromRuns: Conformance;
  /** If the process is as it was; null with the reason beside it. */
  readonly asProcess: Conformance | null;
  readonly whyNoProcess: WhyNoProcess | null;
  /** Of each rule, for the lots of this process; null where no process is known. */
  readonly risks: readonly RiskOfRule[] | null;
  /** The most that the guarded rule with U = 2u releases though out, for any process. */
  readonly guardedAtMost: number;
}

type WhyNoProcess =
  | { readonly why: "few lots"; readonly lots: number; readonly needed: number }
  | { readonly why: "few degrees" }
  | { readonly why: "contradicted"; readonly by: NonNullable<Contradiction> };

/** Degrees of freedom that three runs have: with fewer nothing is said. */
const minForAny = 2;

/**
 * From this lot's runs, the first of the two figures, where nothing else is asked.
 *
 * @returns null where the scatter has fewer degrees of freedom than three runs, or the lot has no run
 */
export function chancesOf(asked: ReleaseQuestion, drawsFor: DrawsFor = freshDraws): Conformance | null {
  const known = measuredOf(asked);
  return known === null ? null : chanceFromRuns(known.measured, asked.limits, drawsFor);
}

function measuredOf({ lot, kept, limits, samplingSd = null }: ReleaseQuestion) {
  const own = lot.filter((runs) => runs.length > 0);
  const others = kept.map((l) => l.filter((runs) => runs.length > 0)).filter((l) => l.length > 0);
  const ground = pooledScatter([own, ...others], samplingSd);
  if (ground === null || own.length === 0 || limits.length === 0) return null;
  const measured = lotMean(own, ground);
  return measured.degrees < minForAny ? null : { measured, ground, others };
}

/**
 * How likely a lot lies within all its limits, from runs grouped by portion.
 *
 * @returns null where the scatter has fewer degrees of freedom than three runs, or the lot has no run
 * Source: JCGM 106; docs/science.md. Accuracy: calibrated as docs/validation.md says.
 */
export function releaseFigures(
  asked: ReleaseQuestion,
  drawsFor: DrawsFor = freshDraws,
): ReleaseFigures | null {
  const known = measuredOf(asked);
  if (known === null) return null;
  const { measured, ground, others } = known;
  const { limits } = asked;
  const usual = processOf(others.map((l) => lotMean(l, ground)));
  const by = usual === null ? null : contradiction(usual, measured);
  const asProcess =
    usual === null || by !== null ? null : ifProcessIsAsItWas(measured, usual, limits, drawsFor);
  const needed = lotsNeeded(limits.length);
  return {
    of: measured.of,
    degrees: measured.degrees,
    scatterLots: others.filter((portions) => portions.some((runs) => runs.length > 1)).length,
    fromRuns: chanceFromRuns(measured, limits, drawsFor),
    asProcess,
    whyNoProcess:
      asProcess !== null
        ? null
        : by !== null
          ? { why: "contradicted", by }
          : usual === null
            ? { why: "few lots", lots: others.length, needed }
            : { why: "few degrees" },
    risks:
      usual === null
        ? null
        : (["simple", "guarded", "two-sided"] as const).map((rule) =>
            riskOfRule(rule, usual, measured.covariance, limits),
          ),
    guardedAtMost: mostReleasedThoughOut(measured.degrees),
  };
}
