import { type OpenAPIHono, z } from "@hono/zod-openapi";
import { listIn, listTypes } from "#api/contract/listForms.ts";
import { version } from "#api/version.ts";
import { zip } from "#distributions/lists.ts";
import { onWire, wireWord } from "#model/words/wireWords.ts";
import { operationsOf } from "./operations.ts";
import { tagOf, tags } from "./tags.ts";

/** The API's document as JSON, with the words of the wire. */
export function documentOf(app: OpenAPIHono): string {
  const document = withAbsentFields(app.openAPIRegistry.definitions, () =>
    app.getOpenAPI31Document({
      openapi: "3.1.0",
      info: {
        title: "Fineband",
        version,
        description: "Particle-size distribution and milling outcome modeller",
      },
      tags: tags.map((name) => ({ name })),
    }),
  );
  withListForms(document, app);
  for (const { method, path } of operationsOf(app)) {
    const operation = ["paths", path, method.toLowerCase()].reduce(inside, document);
    if (typeof operation === "object" && operation !== null)
      Object.assign(operation, { tags: [tagOf(path)] });
  }
  return onWire(JSON.stringify(document, (key, value) => repaired(key, value)));
}

/** Says of each answer with a list that the list alone comes as NDJSON or CSV too. */
function withListForms(document: ReturnType<OpenAPIHono["getOpenAPI31Document"]>, app: OpenAPIHono): void {
  for (const { method, path, answer } of operationsOf(app)) {
    const list = answer === null ? null : listIn(answer);
    const place = ["paths", path, method.toLowerCase(), "responses", "200", "content"];
    const content = place.reduce(inside, document);
    if (list === null || typeof content !== "object" || content === null) continue;
    const schema = { type: "string", description: `${wireWord(list)} alone, a line an entry` };
    Object.assign(content, Object.fromEntries(listTypes.map((type) => [type, { schema }])));
  }
}

function inside(value: unknown, name: string): unknown {
  return typeof value === "object" && value !== null ? Reflect.get(value, name) : undefined;
}

/**
 * The generator asks each field whether it may be undefined, and holds one that may be absent but not undefined to be
 * required. Meanwhile they all say yes.
 */
function withAbsentFields<T>(definitions: readonly unknown[], generate: () => T): T {
  const fields = [...schemasIn(definitions, new Set())].filter((one) => one instanceof z.ZodExactOptional);
  const kept = fields.map((field) => field.safeParse);
  for (const field of fields) field.safeParse = () => ({ success: true, data: undefined });
  try {
    return generate();
  } finally {
    for (const [field, safeParse] of zip(fields, kept)) field.safeParse = safeParse;
  }
}

function* schemasIn(value: unknown, seen: Set<object>): Generator<z.ZodType> {
  if (typeof value !== "object" || value === null || seen.has(value)) return;
  seen.add(value);
  if (value instanceof z.ZodType) {
    yield value;
    yield* schemasIn(value.def, seen);
  } else for (const one of Object.values(value)) yield* schemasIn(one, seen);
}

/** What any request may be answered before, or instead of, what its operation says. */
const refusedAtTheDoor = {
  description:
    "Refused as any request may be: unreadable (400), not signed in (401), from another page or beyond the role (403), no list to be sent as one (406), a body of another kind (415), another server's name (421), a fault of the server (500), too much at once or the store away (503), no space left (507)",
  content: { "application/problem+json": { schema: { $ref: "#/components/schemas/ProblemDetails" } } },
};

const unusable = "The request cannot be used: detail says what is wrong and what was expected";
const methods = ["get", "post", "put", "delete"];

/** What follows from how an operation is asked: a conditional GET, and anything with a path or query to be read. */
function ofEvery(method: string, operation: object): object {
  return {
    ...(method === "get" ? { 304: { description: "What If-None-Match names still stands" } } : {}),
    ...("parameters" in operation ? { 422: { ...refusedAtTheDoor, description: unusable } } : {}),
  };
}

/** Names that stand as texts, and shapes that may be null: the generator holds them to be both at once. */
function repaired(key: string, value: unknown): unknown {
  if (key === "required" && Array.isArray(value)) return value.map((name) => wireWord(String(name)));
  if (key === "responses" && typeof value === "object" && value !== null && Object.keys(value).length > 0)
    return { ...value, default: refusedAtTheDoor };
  if (methods.includes(key) && typeof value === "object" && value !== null && "responses" in value)
    return { ...value, responses: { ...ofEvery(key, value), ...(value.responses ?? {}) } };
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
