import { DomainError } from "#distributions/domainError.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";

/**
 * Runs of the second of two instruments as the first would find them: every size divided by the offset between them. It is
 * the offset of one percentile, taken as that of all sizes; what the instruments see differently in shape stays.
 *
 * @param percent  how much coarser the second finds a size than the first, per cent
 * @throws DomainError  an offset of −100 % or less
 */
export function asFoundByFirst(runs: readonly NamedMeasurement[], percent: number): NamedMeasurement[] {
  const factor = 1 + percent / 100;
  if (!(factor > 0 && Number.isFinite(factor)))
    throw new DomainError("offset in per cent", "must be above −100", percent);
  return runs.map((run) => ({
    ...run,
    distribution: {
      ...run.distribution,
      lowerUm: run.distribution.lowerUm.map((um) => um / factor),
      upperUm: run.distribution.upperUm.map((um) => um / factor),
    },
  }));
}
