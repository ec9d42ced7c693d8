import { z } from "@hono/zod-openapi";

/** A whole number in the path. A regular expression and a transform, so that the document says integer. */
export const idParameter = z.object({
  id: z
    .string()
    .regex(/^\d{1,15}$/)
    .transform(Number)
    .openapi({ param: { name: "id", in: "path" }, type: "integer" }),
});

export function json<S extends z.ZodType>(description: string, schema: S) {
  return { description, content: { "application/json": { schema } } };
}

/**
 * The same for a body that the model's own types already describe: it stands in the document,
 * and the handler answers with a plain response.
 */
export function documented(description: string, schema: z.ZodType): { readonly description: string } {
  const response = { description, content: { "application/json": { schema } } };
  return response;
}
