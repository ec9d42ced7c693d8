import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Block, Series } from "#distributions/tables/layout/block.ts";
import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import { type Verdict, verdictOf } from "./evidence.ts";
import { quantityEvidence } from "./quantityEvidence.ts";
import { scaleEvidence } from "./scaleEvidence.ts";
import type { Statement } from "./statement.ts";
import { valuesEvidence } from "./valuesEvidence.ts";

/** One series with everything around it that may speak of it. */
export interface SpokenSeries {
  readonly series: Series;
  readonly block: Block;
  /** What the line above a table that Fineband wrote states. */
  readonly own: Statement | null;
}

/** What the words around one series come to. */
export interface SeriesVerdicts {
  readonly quantity: Verdict<Quantity>;
  readonly values: Verdict<ValuesOption>;
  readonly scale: Verdict<ScaleOption>;
}

export function verdictsOf(spoken: SpokenSeries): SeriesVerdicts {
  return {
    quantity: verdictOf(quantityEvidence(spoken)),
    values: verdictOf(valuesEvidence(spoken)),
    scale: verdictOf(scaleEvidence(spoken)),
  };
}
