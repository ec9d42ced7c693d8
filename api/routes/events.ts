import { setTimeout } from "node:timers/promises";
import type { OpenAPIHono } from "@hono/zod-openapi";
import type { Context } from "hono";
import { type SSEStreamingApi, streamSSE } from "hono/streaming";
import { listen, maxListeners } from "#api/contract/eventRoutes.ts";
import { NotNow } from "#api/faults.ts";
import type { ChangeEvent, ChangeOfEntry } from "#api/records/records.ts";
import { onWire } from "#model/words/wireWords.ts";
import type { Store } from "../store/store.ts";

/** How often it is looked whether something happened. */
const lookEveryMs = 500;
/** A line that says nothing keeps proxies from taking the connection for dead. */
const sayEveryMs = 15_000;
/** How long a verdict is waited for: a lot without runs has none. */
const waitForMs = 60_000;
const eventsAtOnce = 100;

export interface Listening {
  readonly store: Pick<Store, "changeHistory" | "changes" | "summaries" | "versionOf">;
  /** Ends every stream: the server is told to end. */
  readonly closing: AbortSignal;
  /** Says each time whether whoever asked may still hear it, and this lab is still the one at that path. */
  readonly hearing: (c: Context) => Promise<() => Promise<boolean>>;
  readonly log: (fault: unknown) => void;
}

/** What happens in the lab, told as it happens. */
export function eventRoutes(app: OpenAPIHono, listening: Listening): void {
  let listeners = 0;
  app.openapi(listen, async (c) => {
    if (listeners >= maxListeners)
      throw new NotNow(`${maxListeners} programs listen already; no more are taken.`, 30);
    const [latest] = await listening.store.changeHistory(null, 1);
    const last = latest?.seq ?? 0;
    const asked = Number(c.req.header("last-event-id") ?? c.req.valid("query").after ?? Number.NaN);
    // A number of another lab, or none: what is known already cannot be told.
    const from = Number.isInteger(asked) && asked >= 0 && asked <= last ? asked : last;
    const isStill = await listening.hearing(c);
    listeners++;
    c.header("x-accel-buffering", "no");
    return streamSSE(c, async (stream) => {
      const left = new AbortController();
      stream.onAbort(() => left.abort());
      try {
        const closing = AbortSignal.any([listening.closing, left.signal]);
        await tell(stream, { store: listening.store, closing, from, isStill });
      } catch (fault) {
        if (!stream.aborted) listening.log(fault);
      } finally {
        listeners--;
      }
    });
  });
}

/** A lot whose verdict is waited for: since which event, and until when. */
interface AwaitedLot {
  readonly seq: number;
  readonly untilMs: number;
}

interface Heard extends Pick<Listening, "store" | "closing"> {
  /** The last event that is known already. */
  readonly from: number;
  readonly isStill: () => Promise<boolean>;
}

async function tell(stream: SSEStreamingApi, { store, closing, from, isStill }: Heard): Promise<void> {
  const awaited = new Map<number, AwaitedLot>();
  let told = from;
  let saidMs = Date.now();
  // An id is given once all before it is told: who comes back with it has missed nothing.
  const idNow = () => String(Math.min(told, ...[...awaited.values()].map(({ seq }) => seq - 1)));
  const say = (event: string, data: object) => {
    saidMs = Date.now();
    return stream.writeSSE({ event, id: idNow(), data: onWire(JSON.stringify(data)) });
  };
  await stream.writeSSE({ data: "", event: "ready", id: idNow(), retry: 3000 });
  while (!closing.aborted && (await isStill())) {
    for (const event of await eventsAfter(store, told)) {
      const lotIds = lotsOf(await store.changes(event.seq));
      told = event.seq;
      for (const id of lotIds) awaited.set(id, { seq: event.seq, untilMs: Date.now() + waitForMs });
      await say("change", { ...event, lotIds });
    }
    for (const [lotId, { seq, untilMs }] of awaited) {
      const summaries = (await store.versionOf("lot", lotId)) === null ? null : await store.summaries(lotId);
      const isJudged =
        summaries !== null && summaries.length > 0 && summaries.every((s) => s.basis.event >= seq);
      if (summaries !== null && !isJudged && Date.now() < untilMs) continue;
      awaited.delete(lotId);
      if (isJudged) for (const summary of summaries) await say("verdict", { lotId, ...summary });
    }
    if (Date.now() - saidMs >= sayEveryMs) {
      saidMs = Date.now();
      await stream.write(": still here\n\n");
    }
    await setTimeout(lookEveryMs, undefined, { signal: closing, ref: false }).catch(() => {});
  }
}

/** The events after one, the earliest first. */
async function eventsAfter(store: Listening["store"], seq: number): Promise<readonly ChangeEvent[]> {
  const found: ChangeEvent[] = [];
  let before: number | null = null;
  for (;;) {
    const some: readonly ChangeEvent[] = await store.changeHistory(before, eventsAtOnce);
    const newer = some.filter((event) => event.seq > seq);
    found.push(...newer);
    const last = newer.at(-1);
    if (last === undefined || newer.length < eventsAtOnce) return found.reverse();
    before = last.seq;
  }
}

/** The lots that a change is about: their own entries, and what belongs to them. */
function lotsOf(changes: readonly ChangeOfEntry[]): number[] {
  const ids = changes.flatMap(({ kind, id, before, after }) =>
    kind === "lot" ? [id] : [lotIdIn(before), lotIdIn(after)],
  );
  return [...new Set(ids.filter((id) => id !== null))];
}

function lotIdIn(body: unknown): number | null {
  const isOfLot = typeof body === "object" && body !== null && "lotId" in body;
  return isOfLot && typeof body.lotId === "number" ? body.lotId : null;
}
