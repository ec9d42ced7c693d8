import type { OpenAPIHono } from "@hono/zod-openapi";
import { version } from "#api/version.ts";
import { onWire, wireWord } from "#model/words/wireWords.ts";

/** The API's document as JSON, with the words of the wire. */
export function documentOf(app: OpenAPIHono): string {
  const document = app.getOpenAPI31Document({
    openapi: "3.1.0",
    info: {
      title: "Fineband",
      version,
      description: "Particle-size distribution and milling outcome modeller",
    },
  });
  return onWire(JSON.stringify(document, (key, value) => repaired(key, value)));
}

/** What any request may be answered before, or instead of, what its operation says. */
const refusedAtTheDoor = {
  description:
    "Refused as any request may be: unreadable (400), not signed in (401), from another page or beyond the role (403), a body of another kind (415), another server's name (421), a fault of the server (500), too much at once or the store away (503), no space left (507)",
  content: { "application/problem+json": { schema: { $ref: "#/components/schemas/ProblemDetails" } } },
};

/** Names that stand as texts, and shapes that may be null: the generator holds them to be both at once. */
function repaired(key: string, value: unknown): unknown {
  if (key === "required" && Array.isArray(value)) return value.map((name) => wireWord(String(name)));
  if (key === "responses" && typeof value === "object" && value !== null && Object.keys(value).length > 0)
    return { ...value, default: refusedAtTheDoor };
  if (typeof value !== "object" || value === null || !("allOf" in value) || !Array.isArray(value.allOf))
    return value;
  const { allOf, ...rest } = value;
  const isNull = (part: unknown) =>
    typeof part === "object" && part !== null && "type" in part && String(part.type).includes("null");
  const parts = allOf.filter((part) => !isNull(part));
  return parts.length < allOf.length && parts.length === 1
    ? { ...rest, anyOf: [...parts, { type: "null" }] }
    : value;
}
