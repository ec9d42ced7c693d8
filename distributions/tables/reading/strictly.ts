import { type Problem, problem } from "#distributions/problem.ts";
import { isWordOption, optionWords } from "#distributions/tables/text/readingOptions.ts";
import type { Guess } from "./guess.ts";
import type { Reading } from "./reading.ts";

/** The same reading where nothing may be assumed: each assumption is a question, and nothing is read until it is answered. */
export function strictly(reading: Reading): Reading {
  const assumed = reading.how.filter((guess) => guess.source === "assumed");
  if (assumed.length === 0 || reading.measurements.length === 0) return reading;
  const questions = assumed.map((guess) => questionOf(guess, reading.file));
  return {
    ...reading,
    measurements: [],
    problems: [...reading.problems, ...questions],
    outcomes: reading.outcomes.map((o) =>
      o.state === "refused" ? o : { ...o, state: "needs an answer", problems: [...o.problems, ...questions] },
    ),
  };
}

function questionOf({ option, value, evidence }: Guess, file: string | null): Problem {
  const words: readonly string[] = isWordOption(option) ? optionWords[option] : [value];
  const values = [value, ...words.filter((word) => word !== value)];
  return {
    ...problem("question", `The ${option} ${value} is assumed: ${evidence}. Say which it is.`, {
      file,
      found: value,
      expected: values.join(", "),
    }),
    choices: values.map((each) => ({ option, value: each, d50Um: null })),
  };
}
