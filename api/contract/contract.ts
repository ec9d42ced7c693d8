import type { z } from "@hono/zod-openapi";
import type * as accounts from "./accountRoutes.ts";
import type * as card from "./cardRoutes.ts";
import type * as equipment from "./equipmentRoutes.ts";
import type * as ground from "./groundRoutes.ts";
import type * as instrument from "./instrumentRoutes.ts";
import type * as intake from "./intakeRoutes.ts";
import type * as lab from "./labRoutes.ts";
import type * as labTable from "./labTableRoutes.ts";
import type * as lots from "./lotRoutes.ts";
import type * as materials from "./materialRoutes.ts";
import type * as measurements from "./measurementRoutes.ts";
import type * as photograph from "./photographRoutes.ts";
import type * as record from "./recordRoutes.ts";
import type * as session from "./sessionRoutes.ts";
import type { SimpleContract } from "./simpleEntries.ts";
import type * as watch from "./watchRoutes.ts";

type AnyRoute = { readonly method: string; readonly path: string; readonly responses: object };
type ValueOf<T> = T[keyof T];
type RouteOf<T> = Extract<ValueOf<T>, AnyRoute>;
type Route =
  | RouteOf<typeof lots>
  | RouteOf<typeof measurements>
  | RouteOf<typeof intake>
  | RouteOf<typeof labTable>
  | RouteOf<typeof instrument>
  | RouteOf<typeof watch>
  | RouteOf<typeof ground>
  | RouteOf<typeof materials>
  | RouteOf<typeof lab>
  | RouteOf<typeof session>
  | RouteOf<typeof accounts>
  | RouteOf<typeof card>
  | RouteOf<typeof equipment>
  | RouteOf<typeof photograph>
  | RouteOf<typeof record>;

interface Json<S extends z.ZodType> {
  readonly content: { readonly "application/json": { readonly schema: S } };
}
type AnswerOf<R> = R extends { readonly 200: Json<infer S> } | { readonly 201: Json<infer S> }
  ? z.output<S>
  : object;
type ParamsOf<R> = R extends { readonly params: infer S extends z.ZodType }
  ? { readonly params: z.output<S> }
  : object;
type QueryOf<R> = R extends { readonly query: infer S extends z.ZodType }
  ? { readonly query?: Partial<z.output<S>> }
  : object;
type BodyOf<R> = R extends { readonly body: Json<infer S> } ? { readonly body: z.input<S> } : object;
type AskedOf<R> = R extends { readonly request: infer Q } ? ParamsOf<Q> & QueryOf<Q> & BodyOf<Q> : object;

/** What the page can ask of what is kept, by method and path: what a request says, and what it is answered. */
export type Contract = {
  [R in Route as `${Uppercase<R["method"]>} ${R["path"]}`]: {
    readonly asked: AskedOf<R>;
    readonly answer: AnswerOf<R["responses"]>;
  };
} & SimpleContract;
