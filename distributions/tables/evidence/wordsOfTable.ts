import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Block } from "#distributions/tables/layout/block.ts";
import { type Claims, claimsOf } from "#distributions/tables/text/claims.ts";
import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import { valuesBySide } from "#distributions/tables/text/words.ts";
import { verdictOf, type Weighed } from "./evidence.ts";
import { quantityEvidence, quantityInLines, sharedQuantities } from "./quantityEvidence.ts";
import { scaleEvidence, scaleInLines } from "./scaleEvidence.ts";
import type { SpokenSeries, SpokenTable } from "./spokenSeries.ts";
import { valuesEvidence, valuesInLines } from "./valuesEvidence.ts";

/** What the words around one series come to. */
export interface SeriesVerdicts {
  readonly quantity: Weighed<Quantity>;
  readonly values: Weighed<ValuesOption>;
  readonly scale: Weighed<ScaleOption>;
}

/**
 * @param claims       what the words of each series of the block say
 * @param isOnlyTable  whether the file holds no other table
 */
export function spokenTable(block: Block, claims: readonly Claims[], isOnlyTable: boolean): SpokenTable {
  return {
    sizeClaims: claimsOf(block.sizeHeading),
    bySide: block.sizes.length === 1 ? valuesBySide(block.sizeHeading) : null,
    shared: sharedQuantities(claims),
    isAlone: isOnlyTable && claims.length === 1,
    isOfSeveral: claims.length > 1,
    lines: {
      quantity: quantityInLines(block),
      values: valuesInLines(block),
      scale: scaleInLines(block),
    },
  };
}

export function verdictsOf(spoken: SpokenSeries): SeriesVerdicts {
  return {
    quantity: verdictOf(quantityEvidence(spoken)),
    values: verdictOf(valuesEvidence(spoken)),
    scale: verdictOf(scaleEvidence(spoken)),
  };
}
