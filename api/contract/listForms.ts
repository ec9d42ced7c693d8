import { z } from "@hono/zod-openapi";

/** The forms of a list beside JSON: a line an entry. */
export const listTypes = ["application/x-ndjson", "text/csv"] as const;

/** Lists that stand beside what was asked for. */
const beside: readonly string[] = ["damaged", "problems", "outcomes", "tables"];

/** The list that an answer is about, by its name in code: the first of entries with fields. Null where there is none. */
export function listIn(answer: z.ZodType): string | null {
  if (!(answer instanceof z.ZodObject)) return null;
  const found = Object.entries(answer.shape).find(
    ([name, field]) => !beside.includes(name) && field instanceof z.ZodArray && hasFields(field.element),
  );
  return found?.[0] ?? null;
}

function hasFields(element: unknown): boolean {
  return element instanceof z.ZodObject;
}
