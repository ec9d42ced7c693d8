import { createHash } from "node:crypto";
import { getConnInfo } from "@hono/node-server/conninfo";
import type { Context, MiddlewareHandler } from "hono";
import { deleteCookie, getCookie, setCookie } from "hono/cookie";
import { verbs } from "#api/contract/verbs.ts";
import type { AccountRole, Accounts, Person } from "./accounts.ts";
import type { Reach } from "./reach.ts";
import { Sessions } from "./sessions.ts";

/** What everybody may see: whether the server answers, and the way to sign in. */
const open = new Set(["/api/health", "/api/session"]);
const questions = new Set(Object.keys(verbs).map((verb) => `/api/${verb}`));

/** What a role must at least be for a request. */
function neededFor(method: string, path: string): AccountRole {
  if (path === "/api/accounts" || path.startsWith("/api/accounts/")) return "administrator";
  if (method === "GET" || method === "HEAD" || questions.has(path)) return "reader";
  // One's own password, sessions and tokens are one's own affair.
  if (path.startsWith("/api/session") || path.startsWith("/api/tokens")) return "reader";
  return path === "/api/copy" || path === "/api/lab" ? "administrator" : "writer";
}

const releasing = /^\/api\/lots\/\d+\/(?:frozen|state)$/;

export interface GuardSettings {
  readonly accounts: Accounts;
  readonly reach: Exclude<Reach, "this machine">;
  /** Whether writers may release lots. */
  readonly writersRelease: boolean;
  readonly nowMs: () => number;
}

/** Beyond this machine: lets in who signed in or sends a token, as far as their role goes. */
export class Guard {
  readonly accounts: Accounts;
  readonly sessions: Sessions;
  readonly #settings: GuardSettings;

  constructor(settings: GuardSettings) {
    this.accounts = settings.accounts;
    this.sessions = new Sessions(settings.accounts, settings.nowMs);
    this.#settings = settings;
  }

  /** Who asks; null where nobody signed in. */
  personOf(c: Context): Person | null {
    const bearer = /^Bearer (\S+)$/i.exec(c.req.header("authorization") ?? "")?.[1];
    if (bearer !== undefined) return this.accounts.byToken(bearer, this.now());
    const cookie = this.#cookieOf(c);
    return cookie === undefined ? null : this.sessions.person(cookie);
  }

  now(): Date {
    return new Date(this.#settings.nowMs());
  }

  /** Whether who asks signed in, and sends no token. */
  isSession(c: Context): boolean {
    return c.req.header("authorization") === undefined && this.personOf(c) !== null;
  }

  /** The address of whoever asks: beyond a proxy the last it names, which is the only one it saw itself. */
  addressOf(c: Context): string {
    if (this.isBehindTls) {
      const forwarded = c.req.header("x-forwarded-for")?.split(",").at(-1)?.trim();
      if (forwarded !== undefined && forwarded !== "") return forwarded;
    }
    return addressOf(c);
  }

  keepCookie(c: Context, secret: string): void {
    setCookie(c, this.#cookieName(), secret, {
      httpOnly: true,
      sameSite: "Strict",
      path: "/",
      secure: this.isBehindTls,
    });
  }

  /** The session of the cookie that came ends; the next cookie takes its place. */
  endSession(c: Context): void {
    const cookie = this.#cookieOf(c);
    if (cookie !== undefined) this.sessions.signOut(cookie);
  }

  signOut(c: Context): void {
    this.endSession(c);
    deleteCookie(c, this.#cookieName(), { path: "/", secure: this.isBehindTls });
  }

  /** @param refuse  makes the answer of a refusal */
  door(refuse: (c: Context, status: 401 | 403, sentence: string) => Response): MiddlewareHandler {
    return async (c, next) => {
      const { path, method } = c.req;
      if (this.isBehindTls) {
        if (c.req.header("x-forwarded-proto") !== "https")
          return refuse(c, 403, "This server is asked through its TLS proxy alone.");
      }
      if (!path.startsWith("/api/") || open.has(path)) return next();
      const person = this.personOf(c);
      if (person === null) {
        const answer = refuse(c, 401, "Sign in, or send a token: Authorization: Bearer TOKEN.");
        answer.headers.set("www-authenticate", "Bearer");
        return answer;
      }
      // What a role does not reach at all is refused before a body is read.
      const least = neededFor(method, path);
      const isRuling = mayBe(person.role, least) && ((await this.#isRelease(c)) || (await isOfAnybody(c)));
      const needed = isRuling ? "administrator" : least;
      if (!mayBe(person.role, needed))
        return refuse(c, 403, `This needs the role ${needed}; ${person.name} is ${person.role}.`);
      c.req.raw = ofPerson(c.req.raw, person.name);
      return next();
    };
  }

  async #isRelease(c: Context): Promise<boolean> {
    if (this.#settings.writersRelease || c.req.method !== "POST" || !releasing.test(c.req.path)) return false;
    if (c.req.path.endsWith("/frozen")) return true;
    const state = await bodyOf(c);
    return "name" in state && state.name === "released";
  }

  get isBehindTls(): boolean {
    return this.#settings.reach === "behind TLS";
  }

  #cookieName(): string {
    return this.isBehindTls ? "__Host-fineband" : "fineband";
  }

  #cookieOf(c: Context): string | undefined {
    return getCookie(c, this.#cookieName());
  }
}

/** Whether a change of others is to be taken back. */
async function isOfAnybody(c: Context): Promise<boolean> {
  if (c.req.method !== "POST" || !/^\/api\/(?:undo|redo)$/.test(c.req.path)) return false;
  return "of" in (await bodyOf(c));
}

/** What a request says, read beside it; nothing where it is no object. */
async function bodyOf(c: Context): Promise<object> {
  const body: unknown = await c.req.raw
    .clone()
    .json()
    .catch(() => null);
  return typeof body === "object" && body !== null ? body : {};
}

/** The address a request came from; a server as a value has none. */
export function addressOf(c: Context): string {
  try {
    return getConnInfo(c).remote.address ?? "unknown";
  } catch {
    return "unknown";
  }
}

const order: Readonly<Record<AccountRole, number>> = { reader: 0, writer: 1, administrator: 2 };
const mayBe = (role: AccountRole, needed: AccountRole) => order[role] >= order[needed];

/** The request as its account's: the change history has the account's name, and keys of two people never meet. */
function ofPerson(request: Request, name: string): Request {
  const headers = new Headers(request.headers);
  headers.set("x-by", encodeURIComponent(name));
  const key = headers.get("idempotency-key");
  if (key !== null)
    headers.set("idempotency-key", createHash("sha256").update(`${name}\n${key}`).digest("hex"));
  return new Request(request, { headers });
}
