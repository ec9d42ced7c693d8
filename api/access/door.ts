import type { Context, MiddlewareHandler } from "hono";
import { isOwnHost } from "./hosts.ts";

/** Why a request is turned away, with what would help. */
export interface DoorRefusal {
  readonly status: 403 | 415 | 421;
  readonly sentence: string;
}

/** What a body may be; none of these can be sent by a form of a page elsewhere without asking first. */
const bodyTypes = /^application\/(?:json|x-ndjson|octet-stream)\b/;

/**
 * Turns away what was not addressed to this server, what a page elsewhere sent, and bodies of another kind than declared.
 * Scripts send neither Origin nor Sec-Fetch-Site and are let in.
 * Source: Fetch Metadata (W3C), Origin header (RFC 6454), OWASP ASVS 5.0 chapter 3.5.
 */
export function door(
  ownHosts: readonly string[],
  refuse: (c: Context, why: DoorRefusal) => Response,
): MiddlewareHandler {
  return async (c, next) => {
    const why = refusalOf(c, ownHosts);
    if (why !== null) return refuse(c, why);
    return next();
  };
}

function refusalOf(c: Context, ownHosts: readonly string[]): DoorRefusal | null {
  const host = c.req.header("host") ?? new URL(c.req.url).host;
  if (!isOwnHost(host, ownHosts))
    return {
      status: 421,
      sentence: `This server does not answer to the name ${host}. Use its own address, or start it with FINEBAND_HOSTS=${host}.`,
    };
  if (!c.req.path.startsWith("/api/")) return null;
  if (isFromElsewhere(c, host))
    return {
      status: 403,
      sentence: "The request comes from another page. Only Fineband's own page and scripts may ask here.",
    };
  const type = c.req.header("content-type");
  if (hasBody(c) && (type === undefined || !bodyTypes.test(type.toLowerCase())))
    return {
      status: 415,
      sentence: `The body must be declared as application/json (a backup as application/x-ndjson); found ${type ?? "no content type"}.`,
    };
  return null;
}

function isFromElsewhere(c: Context, host: string): boolean {
  const site = c.req.header("sec-fetch-site");
  if (site !== undefined && site !== "same-origin" && site !== "none") return true;
  const origin = c.req.header("origin");
  return origin !== undefined && hostOf(origin) !== host.toLowerCase();
}

/** A form without fields has a content type and no length worth naming; it counts as a body, too. */
function hasBody(c: Context): boolean {
  const { method } = c.req;
  if (method === "GET" || method === "HEAD") return false;
  const length = c.req.header("content-length");
  return (
    c.req.header("content-type") !== undefined ||
    c.req.header("transfer-encoding") !== undefined ||
    (length !== undefined && length !== "0")
  );
}

function hostOf(origin: string): string | null {
  return URL.canParse(origin) ? new URL(origin).host : null;
}
