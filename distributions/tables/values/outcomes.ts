import { type Problem, problem } from "#distributions/problem.ts";
import { effectOf, type OpenQuestion } from "./questions.ts";

/** What became of one measurement of a file, with everything that was said of it alone. */
export interface MeasurementOutcome {
  readonly measurement: string;
  readonly state: "read" | "read with notes" | "needs an answer" | "refused";
  readonly problems: readonly Problem[];
}

/**
 * From what was said while it was read.
 * @param weighs  whether to work out what each answer to a question would do, which takes as long as reading
 */
export function outcomeOf(
  measurement: string,
  isRead: boolean,
  said: readonly Problem[],
  questions: readonly OpenQuestion[],
  weighs = false,
): MeasurementOutcome {
  const asked = questions.map(({ at, ask, found, values, choices }) =>
    problem("question", ask(`"${measurement}"`), {
      ...at,
      found,
      expected: values.join(", "),
      effect: weighs ? effectOf(choices()) : null,
    }),
  );
  const state = isRead
    ? said.length === 0
      ? "read"
      : "read with notes"
    : asked.length > 0
      ? "needs an answer"
      : "refused";
  return { measurement, state, problems: [...said, ...asked] };
}
