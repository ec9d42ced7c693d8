import type { Given } from "#api/contract/options.ts";
import type { Band } from "#model/band/band.ts";
import type { PortionRun } from "#model/release/portions.ts";
import type { MeasurandCheck } from "#model/release/readChecks.ts";
import { type Answered, askCheck } from "./powder.ts";

/** Whose lots a verdict rests on: their runs, oldest lot first, and the same in words. */
export interface AskedGround {
  readonly sentence: string;
  readonly kept: readonly (readonly PortionRun[])[];
  /** Of the instrument, against reference materials; without them its part is not in the budget. */
  readonly checks?: readonly MeasurandCheck[];
}

/** The verdict with how likely the lot conforms, from its own runs and those of the lots of its ground. */
export function askGroundedCheck(
  asked: Answered & { readonly measurements: readonly PortionRun[] },
  band: Band,
  given: Given,
  { sentence, ...beside }: AskedGround,
) {
  return { ...askCheck(asked, band, given, beside), ground: sentence };
}
