import { z } from "@hono/zod-openapi";

/**
 * An answer with nothing in it: null where its schema allows that, empty lists and records, and what is said instead.
 *
 * @param said  the sentence, the problems, and whatever else can be neither null nor empty
 */
export function nothingOf<S extends z.ZodObject>(answer: S, said: Partial<z.output<S>>): z.output<S> {
  const empty = Object.entries(answer.shape).flatMap(([name, field]): [string, unknown][] => {
    if (field instanceof z.ZodNullable) return [[name, null]];
    if (field instanceof z.ZodArray) return [[name, []]];
    return field instanceof z.ZodRecord ? [[name, {}]] : [];
  });
  return answer.parse({ ...Object.fromEntries(empty), ...said });
}
