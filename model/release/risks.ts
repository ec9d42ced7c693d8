import { itemAt } from "#distributions/lists.ts";
import type { DecisionRule } from "#model/band/band.ts";
import { choleskyOfCovariance } from "#model/numbers/cholesky.ts";
import type { Limits } from "#model/numbers/jointChance.ts";
import { tCdf } from "#model/numbers/studentT.ts";
import { endsOf } from "./chanceFromRuns.ts";
import { drawsOf } from "./draws.ts";
import { sharesOfRule } from "./kernels/within.ts";
import type { Process } from "./process.ts";
import type { Matrix } from "./scatter.ts";

/** What a rule would do with the lots of a process, each a share of all lots. */
export interface RiskOfRule {
  readonly rule: DecisionRule;
  /** Lots that conform. */
  readonly conforming: number;
  readonly releasedShare: number;
  /** The same as releasedShare; on the wire it has long stood as the key `frozen`, which stays. */
  readonly released: number;
  /** Consumer's risk: released, yet out. */
  readonly releasedThoughOut: number;
  /** Producer's risk: held, yet good. */
  readonly heldThoughGood: number;
  /** Neither released nor held; 0 but for the two-sided rule. */
  readonly undecided: number;
}

/** U = k·u, about 95 %. */
export const coverageFactor = 2;

/**
 * Consumer's and producer's risk of a rule for one measuring of each lot of a process as it was.
 * simple: the value alone. guarded: the value with U inside, else held. two-sided: with U inside is released, with U outside held.
 *
 * @param error  covariance of a lot's measured mean about the lot
 * Source: JCGM 106, 9.3 and 9.5 (global risks); ILAC-G8 (from memory).
 */
export function riskOfRule(
  rule: DecisionRule,
  { mean, ofLots }: Pick<Process, "mean" | "ofLots">,
  error: Matrix,
  limits: readonly Limits[],
): RiskOfRule {
  const draws = drawsOf(2 * limits.length, null);
  const { low, high } = endsOf(limits);
  const guard = error.map((row, i) => (rule === "simple" ? 0 : coverageFactor * Math.sqrt(itemAt(row, i))));
  const shares = sharesOfRule(
    { mean, lotRoot: choleskyOfCovariance(ofLots), errorRoot: choleskyOfCovariance(error) },
    draws,
    { low, high, guard },
    rule === "two-sided",
  );
  const { good: conforming, released: releasedShare, ...rest } = shares;
  return { rule, conforming, releasedShare, released: releasedShare, ...rest };
}

/**
 * The most that the guarded rule releases though out, whatever the process: of lots that lie just beyond a limit, those whose
 * value errs by more than k standard errors.
 *
 * @param degrees  of the pooled standard error
 * Source: the t tail of the guard band's factor, JCGM 106, 8.3.3.
 */
export function mostReleasedThoughOut(degrees: number, factor = coverageFactor): number {
  return 1 - tCdf(factor, degrees);
}
