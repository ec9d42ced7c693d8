import { type OpenAPIHono, z } from "@hono/zod-openapi";
import type { MiddlewareHandler } from "hono";
import { meant } from "#api/contract/nearest.ts";
import { UnusableInput } from "#api/faults.ts";
import { wireWord } from "#model/words/wireWords.ts";
import { finderOf, operationsOf } from "./operations.ts";

type Fields = ReadonlySet<string>;

/**
 * Refuses a body with a field that its operation does not know, by the name of the field: a misspelt one would be left
 * out without a word. What an entry is answered with beside what may be said of it (id, version, summary …) comes back
 * unharmed, so that an entry can be read, changed and sent.
 */
export function knownFields(app: OpenAPIHono): MiddlewareHandler {
  const find = finderOf(app);
  let entries: readonly Fields[] | null = null;
  return async (c, next) => {
    if (c.req.method === "GET" || !/^application\/json\b/.test(c.req.header("content-type") ?? ""))
      return next();
    const body = find(c.req.method, c.req.path)?.body ?? null;
    if (body !== null) {
      entries ??= entriesOf(app);
      // What is no JSON is refused where the body is read.
      const sent: unknown = await c.req.json().catch(() => null);
      const unknown = unknownField(body, sent, entries);
      if (unknown !== null) throw refusal(unknown);
    }
    return next();
  };
}

/** The fields of each kind of entry as it is answered, with its number and version. */
function entriesOf(app: OpenAPIHono): readonly Fields[] {
  const answers = operationsOf(app).flatMap(({ method, answer }) =>
    method === "GET" && answer !== null ? [answer] : [],
  );
  const parts = new Set(answers.flatMap((answer) => [...partsOf(answer)]));
  return [...parts].flatMap((part) =>
    part instanceof z.ZodObject && "id" in part.shape && "version" in part.shape
      ? [new Set(Object.keys(part.shape))]
      : [],
  );
}

/** A schema and all that it is made of. */
function* partsOf(schema: z.ZodType): Generator<z.ZodType> {
  yield schema;
  const inner =
    schema instanceof z.ZodObject
      ? Object.values(schema.shape)
      : schema instanceof z.ZodArray
        ? [schema.element]
        : wrapped(schema);
  for (const part of inner) if (part instanceof z.ZodType) yield* partsOf(part);
}

/** What a schema only wraps, defaults or offers as one of several. */
function wrapped(schema: z.ZodType): readonly unknown[] {
  if (schema instanceof z.ZodUnion) return schema.options;
  if (schema instanceof z.ZodPipe) return [schema.in];
  const isWrapper =
    schema instanceof z.ZodOptional ||
    schema instanceof z.ZodExactOptional ||
    schema instanceof z.ZodNullable ||
    schema instanceof z.ZodDefault ||
    schema instanceof z.ZodReadonly;
  return isWrapper ? [schema.unwrap()] : [];
}

interface Unknown {
  readonly at: readonly (string | number)[];
  readonly known: readonly string[];
}

/** The first field of a body that neither its schema nor an entry of such fields knows; null where there is none. */
function unknownField(schema: z.ZodType, value: unknown, entries: readonly Fields[]): Unknown | null {
  if (schema instanceof z.ZodArray)
    return Array.isArray(value)
      ? firstOf(value.entries(), (i, one) => within(i, schema.element, one, entries))
      : null;
  if (schema instanceof z.ZodObject) {
    if (typeof value !== "object" || value === null || Array.isArray(value)) return null;
    const { shape } = schema;
    const known = Object.keys(shape);
    const more = schema.def.catchall === undefined ? moreOf(known, entries) : null;
    return firstOf(Object.entries(value), (name, one) => {
      if (Object.hasOwn(shape, name)) return within(name, shape[name], one, entries);
      return more === null || more.has(name) ? null : { at: [name], known };
    });
  }
  // Of several shapes it is enough that one knows all fields.
  const found = wrapped(schema).map((part) =>
    part instanceof z.ZodType ? unknownField(part, value, entries) : null,
  );
  return found.includes(null) ? null : (found[0] ?? null);
}

function within(
  name: string | number,
  schema: unknown,
  value: unknown,
  entries: readonly Fields[],
): Unknown | null {
  const found = schema instanceof z.ZodType ? unknownField(schema, value, entries) : null;
  return found && { ...found, at: [name, ...found.at] };
}

/**
 * What the entry that such fields are of is answered with. Of several entries it is the one with the least beside them,
 * wherever it is answered, with a summary or without.
 */
function moreOf(known: readonly string[], entries: readonly Fields[]): Fields {
  const having = (all: Iterable<string>) => entries.filter((fields) => [...all].every((f) => fields.has(f)));
  const [entry] = having(known).sort((a, b) => a.size - b.size);
  return new Set(entry === undefined ? [] : having(entry).flatMap((fields) => [...fields]));
}

function firstOf<K, V>(
  list: Iterable<readonly [K, V]>,
  found: (key: K, value: V) => Unknown | null,
): Unknown | null {
  for (const [key, value] of list) {
    const one = found(key, value);
    if (one !== null) return one;
  }
  return null;
}

function refusal({ at, known }: Unknown): UnusableInput {
  const place = at.map((part) => (typeof part === "number" ? String(part) : wireWord(part))).join(".");
  const name = wireWord(String(at.at(-1)));
  const words = known.map(wireWord);
  const all = words.join(", ");
  return new UnusableInput(
    `${place}: there is no such field.${meant(name, words)} The fields here are ${all}.`,
    name,
    all,
  );
}
