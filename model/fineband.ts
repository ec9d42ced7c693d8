/**
 * Fineband as a library: the one door for programs that import it. What stands here is a contract (docs/api.md): names,
 * arguments and fields are added to, never renamed, within a major version. Nothing here reads a file, a clock or a page.
 */
export { DomainError } from "#distributions/domainError.ts";
export type { Problem } from "#distributions/problem.ts";
export type { NamedMeasurement, Quantity, SizeDistribution } from "#distributions/sizeDistribution.ts";
export type { Reading } from "#distributions/tables/reading/reading.ts";
export { readTable } from "#distributions/tables/readTable.ts";
export type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
export { type BlendAnswer, blendAnswer as blend, type NamedLot } from "#model/answers/compare/blendAnswer.ts";
export { type CompareAnswer, compareAnswer as compare } from "#model/answers/compare/compareAnswer.ts";
export {
  type DescribeAnswer,
  type DescribeOptions,
  describeAnswer as describe,
} from "#model/answers/lot/describeAnswer.ts";
export { type FitAnswer, type FitQuestion, fitAnswer as fit } from "#model/answers/lot/fitAnswer.ts";
export { releaseCheck as check } from "#model/answers/lot/releaseCheck.ts";
export { wheelAnswer as wheelPlan } from "#model/answers/mill/wheelAnswer.ts";
export type { WheelAnswer, WheelOptions } from "#model/answers/mill/wheelQuestion.ts";
export {
  type SurfaceAnswer,
  type SurfaceOptions,
  surfaceAnswer as predictedBet,
} from "#model/answers/surface/surfaceAnswer.ts";
export type { Band } from "#model/band/band.ts";
export { readBand } from "#model/band/bandFile.ts";
export { type Mill, readMill } from "#model/mill/mill.ts";
export { readTrials } from "#model/mill/trials/readTrials.ts";
export type { Trial } from "#model/mill/trials/trial.ts";
export type { BetPair } from "#model/surface/bet.ts";
export { readPairs } from "#model/surface/readPairs.ts";
