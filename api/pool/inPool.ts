import type { Context, MiddlewareHandler } from "hono";
import type { Verb } from "#api/contract/verbs.ts";
import type { Pool } from "./pool.ts";

/**
 * So many bytes of a body are answered sooner than they go to a worker and back; what has more, or no such number, goes to
 * a worker. Measured with the demo's tables.
 */
const answeredHere: Readonly<Record<Verb, number>> = {
  describe: 16_000,
  runs: 16_000,
  fines: 16_000,
  check: 16_000,
  compare: 16_000,
  surface: 16_000,
  band: 16_000,
  scalp: 16_000,
  pressure: 4000,
  fit: 0,
  circuit: 0,
  blend: 0,
  against: 0,
  parents: 0,
  history: 0,
  factors: 0,
  "next-trial": 0,
  chain: 0,
  stages: 0,
  wheel: 0,
};
const maxHere = new Map(Object.entries(answeredHere));

/** Sends long questions to the pool, with the body as it came: it is read, checked and answered there by the same routes. */
export function inPool(pool: Pool, callerOf: (c: Context) => string): MiddlewareHandler {
  return async (c, next) => {
    const [, , verb = "", more] = c.req.path.split("/");
    const most = more === undefined && c.req.method === "POST" ? maxHere.get(verb) : undefined;
    if (most === undefined) return next();
    const length = Number(c.req.header("content-length"));
    if (length > 0 && length <= most) return next();
    const body = await c.req.arrayBuffer();
    const answer = await pool.ask({ path: c.req.path, body }, callerOf(c), c.req.raw.signal);
    return new Response(answer.body, { status: answer.status, headers: { "content-type": answer.type } });
  };
}
