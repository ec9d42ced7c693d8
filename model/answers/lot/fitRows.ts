import type { FamilyName } from "#distributions/families/family.ts";
import { familyNames } from "#distributions/families/family.ts";
import type { Problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Derived, derivedFrom } from "#model/fit/derived.ts";
import { type FitSummary, fitSummary } from "#model/fit/fitFamily.ts";
import { type FitQuestion, refusedFit } from "./fitAnswer.ts";

/** A fit of one measurement, without residuals; null with the reason where it cannot be fitted. */
export interface FitRow {
  readonly fit: (FitSummary & { readonly derived: Derived }) | null;
  readonly problems: readonly Problem[];
}

/** Families fitted to each measurement in turn, each fit as soon as it is made: nothing is said of them together. */
export function* fitRows(
  measurements: readonly NamedMeasurement[],
  { families = familyNames, components = 2, points = "edges", ...derive }: FitQuestion,
): Generator<FitRow> {
  for (const one of measurements) for (const family of families) yield fitRow(one, family);

  function fitRow(one: NamedMeasurement, family: FamilyName): FitRow {
    const fit = fitSummary(one, family, { components, points });
    if (fit === null) return { fit, problems: [refusedFit(one, family, components)] };
    return {
      fit: Object.assign({}, fit, { derived: derivedFrom(fit, fit.quantity, derive) }),
      problems: [],
    };
  }
}
