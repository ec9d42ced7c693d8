import { type Problem, problem } from "../problem.ts";
import type { OpenQuestion } from "./questions.ts";

/** What became of one measurement of a file, with everything that was said of it alone. */
export interface Outcome {
  readonly measurement: string;
  readonly state: "read" | "read with notes" | "needs an answer" | "refused";
  readonly problems: readonly Problem[];
}

/** From what was said while it was read. */
export function outcomeOf(
  measurement: string,
  isRead: boolean,
  said: readonly Problem[],
  questions: readonly OpenQuestion[],
): Outcome {
  const asked = questions.map(({ at, ask, found, values }) =>
    problem("question", ask(`"${measurement}"`), { ...at, found, expected: values.join(", ") }),
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
