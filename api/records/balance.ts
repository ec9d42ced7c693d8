import { z } from "@hono/zod-openapi";
import { curveField, nameGiven } from "./fields.ts";
import { kindOf, overHttp } from "./kind.ts";

const stream = curveField.nullable();
/** Three measured streams of a separator at one setting. */
export const balanceFields = z.object({
  name: z.string(),
  feed: stream,
  fines: stream,
  coarse: stream,
  fineYield: z
    .number()
    .nullable()
    .openapi({ description: "As weighed, share of the feed; null where it was not" }),
});

const kind = kindOf(balanceFields, {
  list: "balances",
  title: (b) => `stream balance "${b.name}"`,
});

const streamOrNone = stream.default(null);
export const balance = overHttp(kind, {
  path: "/api/balances",
  body: balanceFields.extend({
    name: nameGiven,
    feed: streamOrNone,
    fines: streamOrNone,
    coarse: streamOrNone,
    fineYield: z.number().gt(0).lt(1).nullable().default(null),
  }),
  example: { name: "separator at 6,200 rpm", fineYield: 0.6 },
  called: "Balance",
  listSummary: "All stream balances",
  keepSummary: "Keep three measured streams of a separator",
  made: "kept",
});
