import type { FactorEffect } from "#model/factors/effects.ts";
import type { SmallestEffect } from "#model/factors/smallestEffect.ts";

/** What a setting goes with in a result, per unit of the setting, with what these lots could have shown. */
export interface FactorFinding extends Omit<FactorEffect, "result"> {
  readonly of: string;
  /** Of the slope, as "µm per °C". */
  readonly per: string;
  /** Of a factor that nothing was shown of; null where it cannot be worked out. */
  readonly smallest: SmallestEffect | null;
  readonly sentence: string;
}
