import { mean } from "simple-statistics";
import type { FamilyName } from "#distributions/families/family.ts";
import { parametersOf } from "#distributions/families/parameters.ts";
import { minOf } from "#distributions/lists.ts";
import type { FamilyFit } from "./fitFamily.ts";

/** How well a family does over all measurements. */
export interface Ranked {
  readonly family: FamilyName;
  /** Parameters of the curve. */
  readonly parameters: number;
  /** Mean over the measurements. */
  readonly rmsPoints: number;
  /** Mean over the measurements; null where one of them cannot be ranked so. */
  readonly aicc: number | null;
  /** Whether its misfit differs from the best by more than the noise between runs. */
  readonly isToldApart: boolean;
}

/**
 * Families by their mean rms misfit, the best first.
 * AICc is shown beside it and decides nothing: the residuals of one curve are correlated.
 */
export function rankingOf(fits: readonly FamilyFit[], noisePoints: number): Ranked[] {
  const families = [...new Set(fits.map((fit) => fit.family))];
  const rows = families.map((family) => {
    const own = fits.filter((fit) => fit.family === family);
    const aiccs = own.flatMap((fit) => (fit.aicc === null ? [] : [fit.aicc]));
    const [first] = own;
    return {
      family,
      parameters: first === undefined ? 0 : freeCount(first),
      rmsPoints: mean(own.map((fit) => fit.rmsPoints)),
      aicc: aiccs.length === own.length ? mean(aiccs) : null,
    };
  });
  const sorted = rows.sort((a, b) => a.rmsPoints - b.rmsPoints);
  const best = minOf(rows.map((row) => row.rmsPoints));
  return sorted.map((row) => ({ ...row, isToldApart: row.rmsPoints - best >= noisePoints }));
}

/** The weights of a mixture add to 1, so one of them is not free. */
function freeCount(fit: FamilyFit): number {
  return parametersOf(fit).length - (fit.family === "mixture" ? 1 : 0);
}
