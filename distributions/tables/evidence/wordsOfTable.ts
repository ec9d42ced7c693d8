import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import { verdictOf, type Weighed } from "./evidence.ts";
import { quantityEvidence } from "./quantityEvidence.ts";
import { scaleEvidence } from "./scaleEvidence.ts";
import type { SpokenSeries } from "./spokenSeries.ts";
import { valuesEvidence } from "./valuesEvidence.ts";

/** What the words around one series come to. */
export interface SeriesVerdicts {
  readonly quantity: Weighed<Quantity>;
  readonly values: Weighed<ValuesOption>;
  readonly scale: Weighed<ScaleOption>;
}

export function verdictsOf(spoken: SpokenSeries): SeriesVerdicts {
  return {
    quantity: verdictOf(quantityEvidence(spoken)),
    values: verdictOf(valuesEvidence(spoken)),
    scale: verdictOf(scaleEvidence(spoken)),
  };
}
