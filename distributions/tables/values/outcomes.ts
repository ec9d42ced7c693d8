import { type Problem, problem } from "#distributions/problem.ts";
import { effectOf, type OpenQuestion } from "./questions.ts";

/** What became of one measurement of a file, with everything that was said of it alone. */
export interface MeasurementOutcome {
  readonly measurement: string;
  readonly state: "read" | "read with notes" | "needs an answer" | "refused";
  readonly problems: readonly Problem[];
}

/** What was said while a measurement was read. */
interface Heard {
  readonly isRead: boolean;
  readonly said?: readonly Problem[];
  readonly questions?: readonly OpenQuestion[];
  /** Whether to work out what each answer to a question would do, which takes as long as reading. */
  readonly weighs?: boolean;
}

/** From what was said while it was read. */
export function outcomeOf(
  measurement: string,
  { isRead, said = [], questions = [], weighs = false }: Heard,
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
