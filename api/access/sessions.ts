import { randomBytes } from "node:crypto";
import type { Accounts, Person } from "./accounts.ts";
import { hashOfSecret, isPassword } from "./passwords.ts";

const idleMs = 60 * 60_000;
const longestMs = 12 * 60 * 60_000;
/** Each hash takes 128 MB for its time. */
const hashesAtOnce = 2;
const maxWaiting = 20;

/** So many wrong attempts are free; then each doubles the wait. */
const freeAttempts = { together: 5, address: 20, name: 50 } as const;
const longestWaitMs = 15 * 60_000;
const maxRemembered = 10_000;

interface Session {
  readonly name: string;
  readonly since: number;
  readonly begunMs: number;
  seenMs: number;
}

/** Why somebody was not let in: wrong, or too soon after wrong ones. */
export type NotIn = { readonly why: "wrong" } | { readonly why: "wait"; readonly seconds: number };

/** Who is signed in. A server that is started anew knows nobody. */
export class Sessions {
  readonly #accounts: Accounts;
  readonly #nowMs: () => number;
  readonly #sessions = new Map<string, Session>();
  readonly #wrong = new Map<string, { count: number; lastMs: number }>();
  #hashing = 0;
  readonly #turns: (() => void)[] = [];

  constructor(accounts: Accounts, nowMs: () => number) {
    this.#accounts = accounts;
    this.#nowMs = nowMs;
  }

  /** @returns  the secret of the cookie */
  async signIn(name: string, password: string, address: string): Promise<string | NotIn> {
    const keys = this.#keysOf(name, address);
    const waitMs = Math.max(...keys.map(({ key, free }) => this.#waitMs(key, free)));
    if (waitMs > 0) return { why: "wait", seconds: Math.ceil(waitMs / 1000) };
    if (this.#turns.length >= maxWaiting) return { why: "wait", seconds: 10 };
    const known = this.#accounts.named(name);
    // Counted before it is known, so that many at once are counted too.
    for (const { key } of keys) this.#count(key);
    if (!(await this.#isRight(password, known)) || known === null || known.isDisabled)
      return { why: "wrong" };
    for (const { key } of keys) this.#wrong.delete(key);
    const secret = randomBytes(32).toString("base64url");
    const now = this.#nowMs();
    this.#forget(now);
    this.#sessions.set(hashOfSecret(secret), {
      name: known.name,
      since: known.since,
      begunMs: now,
      seenMs: now,
    });
    return secret;
  }

  /** Null where the session is none, has ended, or its account has changed since. */
  person(secret: string): Person | null {
    const key = hashOfSecret(secret);
    const session = this.#sessions.get(key);
    if (session === undefined) return null;
    const known = this.#accounts.named(session.name);
    const now = this.#nowMs();
    if (known === null || known.isDisabled || known.since !== session.since || isOver(session, now)) {
      this.#sessions.delete(key);
      return null;
    }
    session.seenMs = now;
    return { name: known.name, role: known.role };
  }

  signOut(secret: string): void {
    this.#sessions.delete(hashOfSecret(secret));
  }

  async #isRight(password: string, known: ReturnType<Accounts["named"]>): Promise<boolean> {
    if (this.#hashing >= hashesAtOnce) await new Promise<void>((resolve) => this.#turns.push(resolve));
    this.#hashing++;
    try {
      return await isPassword(password, known?.password ?? null);
    } finally {
      this.#hashing--;
      this.#turns.shift()?.();
    }
  }

  #keysOf(name: string, address: string): { key: string; free: number }[] {
    const folded = name.toLowerCase().slice(0, 80);
    return [
      { key: `${folded} ${address}`, free: freeAttempts.together },
      { key: `address ${address}`, free: freeAttempts.address },
      { key: `name ${folded}`, free: freeAttempts.name },
    ];
  }

  #waitMs(key: string, free: number): number {
    const wrong = this.#wrong.get(key);
    if (wrong === undefined || wrong.count < free) return 0;
    const waitMs = Math.min(longestWaitMs, 1000 * 2 ** (wrong.count - free));
    return wrong.lastMs + waitMs - this.#nowMs();
  }

  #count(key: string): void {
    const before = this.#wrong.get(key)?.count;
    this.#wrong.delete(key);
    this.#wrong.set(key, { count: before === undefined ? 1 : before + 1, lastMs: this.#nowMs() });
    const [oldest] = this.#wrong.keys();
    if (this.#wrong.size > maxRemembered && oldest !== undefined) this.#wrong.delete(oldest);
  }

  #forget(now: number): void {
    for (const [key, session] of this.#sessions) if (isOver(session, now)) this.#sessions.delete(key);
  }
}

const isOver = ({ begunMs, seenMs }: Session, now: number) =>
  now - seenMs > idleMs || now - begunMs > longestMs;
