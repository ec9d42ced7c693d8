/** A long answer worked out in steps, so that a page can listen between them. */
export type Steps<T> = Generator<undefined, T, undefined>;

/** The answer, without a pause. */
export function answerOf<T>(steps: Steps<T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
  }
}
