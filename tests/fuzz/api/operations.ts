import { z } from "zod";

const media = z.record(
  z.string(),
  z.object({ schema: z.unknown().optional(), example: z.unknown().optional() }),
);
const operation = z.object({
  operationId: z.string(),
  parameters: z
    .array(z.object({ name: z.string(), in: z.string(), schema: z.looseObject({}).optional() }))
    .default([]),
  requestBody: z.object({ content: media }).optional(),
  responses: z.record(z.string(), z.object({ content: media.optional() })),
});
const documentShape = z.object({
  paths: z.record(z.string(), z.record(z.string(), operation)),
  components: z.object({ schemas: z.record(z.string(), z.unknown()) }),
});

/** What the document says of one operation. */
export interface Operation {
  readonly method: string;
  readonly path: string;
  readonly name: string;
  readonly query: readonly string[];
  /** A body that the document shows, and its media type. */
  readonly example: unknown;
  /** By status or "default", by media type: null where there is no body or none is described. */
  readonly answers: ReadonlyMap<string, ReadonlyMap<string, z.ZodType | null>>;
}

/** Every operation of the API's document, its answers as checks. */
export function operationsOf(text: string): readonly Operation[] {
  const { paths, components } = documentShape.parse(JSON.parse(text));
  const held = JSON.stringify(components.schemas).replaceAll("#/components/schemas/", "#/$defs/");
  const defs: unknown = JSON.parse(held);
  const checkOf = (schema: unknown): z.ZodType | null => {
    if (schema === undefined) return null;
    const own = z
      .record(z.string(), z.unknown())
      .parse(JSON.parse(JSON.stringify(schema).replaceAll("#/components/schemas/", "#/$defs/")));
    return z.fromJSONSchema({ ...own, $defs: z.record(z.string(), z.any()).parse(defs) });
  };
  return Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, { operationId, parameters, requestBody, responses }]) => ({
      method: method.toUpperCase(),
      path,
      name: operationId,
      query: parameters.filter((one) => one.in === "query").map((one) => one.name),
      example: Object.values(requestBody?.content ?? {})[0]?.example,
      answers: new Map(
        Object.entries(responses).map(([status, { content = {} }]) => [
          status,
          new Map(Object.entries(content).map(([type, { schema }]) => [type, checkOf(schema)])),
        ]),
      ),
    })),
  );
}

/** What the document says under "default" that any request may be answered. */
const ofAnyRequest: ReadonlySet<number> = new Set([400, 401, 403, 406, 415, 421, 500, 503, 507]);

/** Why an answer is not one that the document declares; null where it is. */
export async function undeclared({ answers }: Operation, answer: Response): Promise<string | null> {
  const isOfAny = ofAnyRequest.has(answer.status);
  const declared = answers.get(String(answer.status)) ?? (isOfAny ? answers.get("default") : undefined);
  if (declared === undefined) return "no such status";
  const isEndless = answer.headers.get("content-type")?.startsWith("text/event-stream") === true;
  if (isEndless) await answer.body?.cancel();
  const text = isEndless ? "" : await answer.text();
  if (answer.status === 204 || answer.status === 304) return text === "" ? null : "a body where none may be";
  const type = answer.headers.get("content-type")?.split(";")[0] ?? "";
  if (declared.size === 0) return text === "" ? null : `a body of ${type} that is not described`;
  const check = declared.get(type);
  if (check === undefined) return `${type} is not among ${[...declared.keys()].join(", ")}`;
  if (check === null || !/^application\/(problem\+)?json$/.test(type)) return null;
  const fits = check.safeParse(JSON.parse(text));
  if (fits.success) return null;
  const [first] = fits.error.issues;
  return `${first?.path.join(".") ?? ""}: ${first?.message ?? ""}`;
}
