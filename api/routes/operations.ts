import { type OpenAPIHono, z } from "@hono/zod-openapi";
import { TrieRouter } from "hono/router/trie-router";

/** What an operation is sent and answers, in JSON; null where it is nothing. */
export interface Asked {
  readonly method: string;
  readonly body: z.ZodType | null;
  readonly answer: z.ZodType | null;
}

/** The operations of an app's document. */
export function operationsOf(app: OpenAPIHono): readonly (Asked & { readonly path: string })[] {
  return app.openAPIRegistry.definitions.flatMap((one) => {
    if (one.type !== "route") return [];
    const { method, path, request, responses } = one.route;
    const answer = responses?.["200"];
    return [
      {
        method: method.toUpperCase(),
        path,
        body: schemaIn(request?.body?.content),
        answer: answer !== undefined && "content" in answer ? schemaIn(answer.content) : null,
      },
    ];
  });
}

/** Finds the operation of a request; the app may get its routes after this is called, but before the first request. */
export function finderOf(app: OpenAPIHono): (method: string, path: string) => Asked | null {
  let router: TrieRouter<Asked> | null = null;
  return (method, path) => {
    if (router === null) {
      router = new TrieRouter();
      for (const one of operationsOf(app)) router.add(one.method, one.path.replace(/\{(\w+)\}/g, ":$1"), one);
    }
    const [[operation] = []] = router.match(method, path)[0];
    return operation ?? null;
  };
}

function schemaIn(content: Readonly<Record<string, object | undefined>> | undefined): z.ZodType | null {
  const json = content?.["application/json"];
  return json !== undefined && "schema" in json && json.schema instanceof z.ZodType ? json.schema : null;
}
