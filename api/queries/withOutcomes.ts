import type { CandidateReading } from "#distributions/tables/candidateReadings.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";

/** A reading with what became of each measurement and the readings that stand beside it, by its file. */
export function withOutcomes(
  { file, measurements, problems, outcomes, tables }: Reading,
  candidates: readonly CandidateReading[] = [],
) {
  const became = outcomes.map(({ measurement, state }) => ({ file, measurement, state }));
  return {
    measurements,
    problems,
    outcomes: became,
    tables: tables.map((table) => ({ file, ...table })),
    candidates: candidates.map((one) => ({ file, ...one })),
  };
}
