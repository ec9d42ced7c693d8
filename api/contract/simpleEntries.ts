import { z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { type EntryKind, kindNames, kindTable } from "#api/records/kinds.ts";
import { changeRoute, keepRoute, listRoute, removeRoute, saved } from "./entryRoutes.ts";
import { damagedSchema } from "./shapes.ts";

type Table = typeof kindTable;
/** The kinds that say in their own file how they are reached over HTTP. */
type SimpleKind = {
  [K in EntryKind]: Table[K] extends { readonly http: object } ? K : never;
}[EntryKind];

/** The four routes of each such kind: to list, keep, change and delete its entries. */
export function simpleRoutes() {
  return kindNames.flatMap((kind) => {
    const rules = kindTable[kind];
    if (!("http" in rules)) return [];
    const { list, http } = rules;
    const { path, called, example, made } = http;
    const fields: z.ZodObject = rules.fields;
    const body: z.ZodType = http.body;
    const lists: z.ZodType = z.object({ [list]: listOf(saved(fields)), damaged: damagedSchema });
    const at = { path, kind, called };
    return {
      kind,
      list,
      body,
      made,
      listRoute: listRoute({ path, operationId: `list${called}s`, summary: http.listSummary }, lists),
      keepRoute: keepRoute({ path, operationId: `keep${called}`, summary: http.keepSummary }, body, example),
      changeRoute: changeRoute(at, body, example),
      removeRoute: removeRoute(at),
    };
  });
}

type PathOf<K extends SimpleKind> = Table[K]["http"]["path"];
type Sent<K extends SimpleKind> = z.input<Table[K]["http"]["body"]>;
type Number_ = { readonly id: number; readonly version: number };
type Lists<K extends SimpleKind> = {
  readonly [N in Table[K]["list"]]: readonly (z.output<Table[K]["fields"]> & Number_)[];
} & { readonly damaged: z.output<typeof damagedSchema> };

/** What the page asks of these routes, and what it is answered. */
export type SimpleContract = {
  [K in SimpleKind as `GET ${PathOf<K>}`]: { readonly asked: object; readonly answer: Lists<K> };
} & {
  [K in SimpleKind as `POST ${PathOf<K>}`]: {
    readonly asked: { readonly body: Sent<K> };
    readonly answer: Number_;
  };
} & {
  [K in SimpleKind as `PUT ${PathOf<K>}/{id}`]: {
    readonly asked: { readonly params: { readonly id: number }; readonly body: Sent<K> };
    readonly answer: Number_;
  };
} & {
  [K in SimpleKind as `DELETE ${PathOf<K>}/{id}`]: {
    readonly asked: { readonly params: { readonly id: number } };
    readonly answer: object;
  };
};
