import { z } from "@hono/zod-openapi";

/** Fields that can be null, an empty list or an empty record. */
type EmptyFields<A> = {
  [K in keyof A]-?: null extends A[K]
    ? K
    : A[K] extends readonly unknown[]
      ? K
      : string extends keyof A[K]
        ? K
        : never;
}[keyof A];

/** What must be said of an answer with nothing in it: all that can be neither null nor empty; the rest may be. */
type Said<A> = Omit<A, EmptyFields<A>> & Partial<A>;

/**
 * An answer with nothing in it: null where its schema allows that, empty lists and records, and what is said instead.
 *
 * @param said  the sentence, the problems, and whatever else can be neither null nor empty
 */
export function nothingOf<S extends z.ZodObject>(answer: S, said: Said<z.output<S>>): z.output<S> {
  const empty = Object.entries(answer.shape).flatMap(([name, field]): [string, unknown][] => {
    if (field instanceof z.ZodNullable) return [[name, null]];
    if (field instanceof z.ZodArray) return [[name, []]];
    return field instanceof z.ZodRecord ? [[name, {}]] : [];
  });
  return answer.parse({ ...Object.fromEntries(empty), ...said });
}
