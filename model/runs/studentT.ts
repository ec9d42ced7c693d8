import cdf from "@stdlib/stats-base-dists-t-cdf";
import quantile from "@stdlib/stats-base-dists-t-quantile";
import { DomainError } from "#distributions/domainError.ts";

/**
 * The quantile of Student's t. Accuracy: 1e-14 for 1 to 60 degrees, 0.6 ≤ p ≤ 0.995 (40-digit references).
 * @throws DomainError unless 0 < p < 1 and there is at least one degree of freedom
 */
export function tQuantile(p: number, degrees: number): number {
  if (!(p > 0 && p < 1)) throw new DomainError("probability", "must lie between 0 and 1", p);
  if (!(degrees > 0)) throw new DomainError("degrees", "must be positive", degrees);
  return quantile(p, degrees);
}

/** The chance that Student's t is at most x. */
export function tCdf(x: number, degrees: number): number {
  if (!(degrees > 0)) throw new DomainError("degrees", "must be positive", degrees);
  return cdf(x, degrees);
}
