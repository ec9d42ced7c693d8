import type { Band } from "#model/band/band.ts";
import type { PortionRun } from "#model/release/portions.ts";
import { type CheckAnswer, checkAnswer } from "./checkAnswer.ts";
import { type ReleaseAnswer, type ReleaseOptions, releaseAnswer } from "./releaseAnswer.ts";

/** A verdict with how likely the lot conforms: of each row, and of all of them. */
export interface ReleaseCheck extends CheckAnswer {
  readonly release: ReleaseAnswer | null;
}

/** A lot against its band, with the chances of its rows. @throws DomainError  no measurements */
export function releaseCheck(
  measurements: readonly PortionRun[],
  band: Band,
  options: ReleaseOptions = {},
): ReleaseCheck {
  const release = releaseAnswer(measurements, band, options);
  return { ...checkAnswer(measurements, band, { rule: options.rule, release }), release };
}
