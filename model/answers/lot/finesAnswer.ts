import { curveOf } from "#distributions/curve.ts";
import { zip } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Fraction, fractions } from "#model/fines/conventions.ts";
import { type FineShare, fineFractions } from "#model/fines/fineFractions.ts";
import { ownRuns } from "#model/lot/copies.ts";
import { type OverRuns, overRuns } from "#model/lot/overRuns.ts";
import { figures, listed } from "#model/words/wording.ts";

export interface FinesQuestion {
  readonly densityGPerCm3: number;
  /** Dynamic shape factor; 1, a sphere, when left out. */
  readonly shapeFactor?: number;
  /** Of the intervals; 0.95 when left out. */
  readonly level?: number;
}

export interface FinesOf {
  readonly file: string | null;
  readonly name: string;
  /** Null where the measurement cannot be counted by volume. */
  readonly shares: Readonly<Record<Fraction, FineShare>> | null;
}

export interface FinesAnswer {
  readonly measurements: readonly FinesOf[];
  /** The middle of each run's range, over the runs. */
  readonly overRuns: Readonly<Record<Fraction, OverRuns>>;
  readonly densityGPerCm3: number;
  readonly shapeFactor: number;
  readonly sentence: string;
  readonly caution: string;
  readonly problems: readonly Problem[];
}

const caution =
  "These shares describe the powder, not the air at the workplace: how much becomes airborne depends on the work. Use them for planning only, ask your occupational hygienist, and follow the safety data sheet and local codes.";

/** The inhalable, thoracic and respirable share of the bulk powder. @throws DomainError  density or shape factor out of range */
export function finesAnswer(measurements: readonly NamedMeasurement[], asked: FinesQuestion): FinesAnswer {
  const { densityGPerCm3, shapeFactor = 1, level = 0.95 } = asked;
  const problems: Problem[] = [];
  const each = measurements.map((one): FinesOf => {
    const at = { file: one.file, measurement: one.name };
    const shares = fineFractions(one.distribution, densityGPerCm3, shapeFactor);
    if (shares === null)
      problems.push(
        problem(
          "refused",
          `${one.name} has no fine fractions: a ${one.distribution.quantity} measurement with powder outside its size classes cannot be converted to volume. Measure a wider size range.`,
          at,
        ),
      );
    else if (shares.respirable.high - shares.respirable.low > 1e-4)
      problems.push(
        problem(
          "note",
          `${one.name}: the respirable share lies between ${percentText(shares.respirable.low)} and ${percentText(shares.respirable.high)}, depending on the powder outside the size classes.`,
          at,
        ),
      );
    return { file: one.file, name: one.name, shares };
  });
  const own = ownRuns(zip(measurements, each), ([one]) => curveOf(one.distribution)).map(
    ([, shares]) => shares,
  );
  const over = (fraction: Fraction) =>
    overRuns(
      own.map(({ shares }) => (shares === null ? null : (shares[fraction].low + shares[fraction].high) / 2)),
      level,
    );
  const all = { inhalable: over("inhalable"), thoracic: over("thoracic"), respirable: over("respirable") };
  return {
    measurements: each,
    overRuns: all,
    densityGPerCm3,
    shapeFactor,
    sentence: sentenceOf(all),
    caution,
    problems,
  };
}

function sentenceOf(over: Readonly<Record<Fraction, OverRuns>>): string {
  const parts = [...fractions].reverse().flatMap((fraction) => {
    const { value, low, high } = over[fraction];
    if (value === null) return [];
    const interval = low === null || high === null ? "" : ` (${figures(100 * low)}–${figures(100 * high)})`;
    return [`${fraction} ${percentText(value)}${interval}`];
  });
  return parts.length === 0
    ? "No fine fractions can be calculated."
    : `Shares of the powder mass if every particle were airborne separately: ${listed(parts)}.`;
}

function percentText(share: number): string {
  return `${figures(100 * share)} %`;
}
