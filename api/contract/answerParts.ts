import { z } from "@hono/zod-openapi";
import { listOf } from "#api/records/fields.ts";
import { problemSchema } from "./shapes.ts";

export const number = z.number();
export const text = z.string();
export const orNull = number.nullable();
export const problems = listOf(problemSchema);

export const verdict = z.enum(["in band", "on the edge", "out of band", "too few runs"]);
export const interval = z.object({ low: number, high: number, level: number }).openapi("Interval");
/** A middle with its interval, at a level. */
export const medianWithin = { median: number, low: orNull, high: orNull, level: number };
export const overRuns = z
  .object({
    value: orNull,
    low: orNull,
    high: orNull,
    level: number,
    runs: number,
    basis: z.enum(["runs", "pooled lots"]).nullable(),
  })
  .openapi("OverRuns", { description: "A quantity of a lot, from its runs, with its interval" });
export const estimate = z.object({ value: orNull, interval: interval.nullable() }).openapi("Estimate");
export const byName = <S extends z.ZodType>(schema: S) => z.record(z.string(), schema);
export const meansOf = <S extends z.ZodType>(schema: S) =>
  z.object({ "4,3": schema, "3,2": schema, "1,0": schema });
export const source = { file: text.nullable(), name: text };
export const limitAtSize = z.object({ limit: text, sizeUm: number.exactOptional() });
export const humpVerdict = z.enum(["one hump", "possible second hump", "second hump"]);
/** How a limit is met. */
export const limitCheck = limitAtSize.extend({
  value: orNull,
  low: orNull,
  high: orNull,
  interval: interval.nullable(),
  verdict,
  probability: orNull,
});
