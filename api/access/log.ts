import { appendFileSync, lstatSync } from "node:fs";
import type { Context, MiddlewareHandler } from "hono";
import { verbs } from "#api/contract/verbs.ts";

/** From what must be looked into to what was done: each level has those before it. */
const levels = ["fault", "refusal", "write"] as const;
export type LogLevel = (typeof levels)[number];

/** One line of the log: what happened, never a measurement, a password or a token. */
export type LogEvent =
  | { readonly event: "fault"; readonly message: string; readonly stack: string | null }
  | {
      readonly event: "sign-in" | "sign-in refused" | "refusal" | "write" | "restore";
      readonly method: string;
      /** Without what was asked of it. */
      readonly path: string;
      readonly status: number;
      /** The account, or the name as given; percent-encoded. */
      readonly by: string | null;
      readonly from: string;
      readonly tookMs: number;
    };

export type Tell = (event: LogEvent) => void;

const levelOf = ({ event }: LogEvent): LogLevel =>
  event === "fault" ? "fault" : /refus/.test(event) ? "refusal" : "write";

/**
 * Writes one JSON line an event. Control characters of a path or name stand escaped in it, so none can begin a line.
 *
 * @param place  a file, which is made its owner's alone; null for standard error
 */
export function makeLog(place: string | null, level: LogLevel, now: () => Date): Tell {
  if (place !== null && lstatSync(place, { throwIfNoEntry: false })?.isSymbolicLink() === true)
    throw new Error(`${place} is a link to somewhere else; name the file itself`);
  const write = (line: string) =>
    place === null ? process.stderr.write(line) : appendFileSync(place, line, { mode: 0o600 });
  return (event) => {
    if (levels.indexOf(levelOf(event)) > levels.indexOf(level)) return;
    write(`${JSON.stringify({ at: now().toISOString(), level: levelOf(event), ...event })}\n`);
  };
}

/** @throws Error  the level is none */
export function levelNamed(text: string | undefined, usual: LogLevel): LogLevel {
  const named = levels.find((one) => one === text);
  if (named === undefined && text !== undefined && text !== "")
    throw new Error(`FINEBAND_LOG_LEVEL takes ${levels.join(", ")}; found ${text}`);
  return named ?? usual;
}

export function faultEvent(fault: unknown): LogEvent {
  const isError = fault instanceof Error;
  return {
    event: "fault",
    message: isError ? fault.message : String(fault),
    stack: (isError && fault.stack) || null,
  };
}

const questions = new Set(Object.keys(verbs).map((verb) => `/api/${verb}`));
const longest = 200;

/** Tells of every refusal and every write. Questions and looks are nobody's business. */
export function logged(tell: Tell, addressOf: (c: Context) => string): MiddlewareHandler {
  return async (c, next) => {
    const begun = performance.now();
    await next();
    const { path, method } = c.req;
    const { status } = c.res;
    const isLook = method === "GET" || method === "HEAD" || questions.has(path);
    // What is asked anew and has not changed, and an answer that says why a table cannot be read, are no refusals.
    const isRefusal = status >= 400 && !(status === 422 && isLook);
    if (!isRefusal && (isLook || status >= 500)) return;
    tell({
      event: eventOf(path, method, isRefusal),
      method,
      path: path.slice(0, longest),
      status,
      by: c.req.header("x-by")?.slice(0, longest) ?? null,
      from: addressOf(c),
      tookMs: Math.round(performance.now() - begun),
    });
  };
}

function eventOf(path: string, method: string, isRefusal: boolean) {
  if (path === "/api/session" && method === "POST") return isRefusal ? "sign-in refused" : "sign-in";
  if (isRefusal) return "refusal";
  return path === "/api/copy" ? "restore" : "write";
}
