import { randomBytes } from "node:crypto";
import {
  closeSync,
  fsyncSync,
  lstatSync,
  mkdirSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeSync,
} from "node:fs";
import { dirname, join } from "node:path";
import { z } from "zod";
import { UnusableInput } from "#api/faults.ts";
import { hashOfSecret, keepPassword, keptPassword, longestPassword, shortestPassword } from "./passwords.ts";

/** From the one who looks and asks to the one who may do everything. */
export const roles = ["reader", "writer", "administrator"] as const;
export type AccountRole = (typeof roles)[number];

const account = z.object({
  name: z.string(),
  role: z.enum(roles),
  isDisabled: z.boolean(),
  password: keptPassword,
  /** Sessions and tokens of an earlier one hold no longer. */
  since: z.number(),
});
const token = z.object({
  id: z.string(),
  account: z.string(),
  role: z.enum(roles),
  hash: z.string(),
  expires: z.string(),
  since: z.number(),
});
const file = z.object({ schema: z.literal(1), accounts: z.array(account), tokens: z.array(token) });
type Kept = z.output<typeof file>;
export type Account = z.output<typeof account>;

/** Who asks, and what they may. */
export interface Person {
  readonly name: string;
  readonly role: AccountRole;
}

const nameForm = /^[\p{L}\p{N}][\p{L}\p{N} ._-]{0,59}$/u;
const isSame = (a: string, b: string) => a.toLowerCase() === b.toLowerCase();
const lockPatienceMs = 5000;

/**
 * The accounts of a server and their tokens: a file of their own beside the lab's, so that no copy, backup or undo holds
 * them. Command line and server change it in turn; each reads it anew once it changed.
 */
export class Accounts {
  readonly #path: string;
  readonly #cost: number | undefined;
  #read: { readonly stamp: string; readonly kept: Kept } | null = null;

  /** @param cost  of scrypt, where it is not the usual one */
  constructor(folder: string, cost?: number) {
    this.#cost = cost;
    this.#path = join(folder, "accounts.json");
  }

  /** @throws Error  the file is a link, or no accounts file */
  get all(): readonly Account[] {
    return this.#kept().accounts;
  }

  /** Null where there is none of the name, in whatever case. */
  named(name: string): Account | null {
    return this.all.find((one) => isSame(one.name, name)) ?? null;
  }

  /** @throws UnusableInput  the name is taken or none, or the password too short */
  async add(name: string, role: AccountRole, password: string): Promise<void> {
    if (!nameForm.test(name))
      throw new UnusableInput(
        "A name has 1 to 60 letters, digits, blanks, points, hyphens and underscores, and begins with a letter or digit.",
        name,
        "a name",
      );
    const kept = await keepPassword(usable(password, name), this.#cost);
    this.#change((now) => {
      if (now.accounts.some((one) => isSame(one.name, name)))
        throw new UnusableInput(`There is an account ${name} already.`, name, "another name");
      return {
        ...now,
        accounts: [...now.accounts, { name, role, isDisabled: false, password: kept, since: 1 }],
      };
    });
  }

  /** A new password, which signs out everywhere; one that was disabled is so no longer. @throws UnusableInput */
  async reset(name: string, password: string): Promise<void> {
    const kept = await keepPassword(usable(password, name), this.#cost);
    this.#renew(name, (one) => ({ ...one, password: kept, isDisabled: false }));
  }

  /** @throws UnusableInput  no such account, or the last administrator */
  setRole(name: string, role: AccountRole): void {
    this.#renew(name, (one) => ({ ...one, role }));
  }

  /** @throws UnusableInput  no such account, or the last administrator */
  disable(name: string): void {
    this.#renew(name, (one) => ({ ...one, isDisabled: true }));
  }

  /** Ends all sessions and tokens of an account. */
  signOutEverywhere(name: string): void {
    this.#renew(name, (one) => one);
  }

  /** @returns  the token, which is kept nowhere as it is @throws UnusableInput */
  addToken(name: string, role: AccountRole, expires: Date): string {
    const secret = `fineband_${randomBytes(32).toString("base64url")}`;
    this.#change((now) => {
      const owner = found(now, name);
      if (roles.indexOf(role) > roles.indexOf(owner.role))
        throw new UnusableInput(`${owner.name} is ${owner.role}; a token may do no more.`, role, owner.role);
      const added = {
        id: randomBytes(6).toString("hex"),
        account: owner.name,
        role,
        hash: hashOfSecret(secret),
        expires: expires.toISOString(),
        since: owner.since,
      };
      return { ...now, tokens: [...now.tokens, added] };
    });
    return secret;
  }

  /** The tokens that hold at a moment, without what they are known by. */
  tokensAt(now: Date): { id: string; account: string; role: AccountRole; expires: string }[] {
    return this.#kept().tokens.flatMap(({ id, account: owner, role, expires, since }) => {
      const known = this.named(owner);
      const holds = known !== null && !known.isDisabled && known.since === since && new Date(expires) > now;
      return holds ? [{ id, account: known.name, role, expires }] : [];
    });
  }

  /** One that is not there is ended already. */
  endToken(id: string): void {
    this.#change((now) => ({ ...now, tokens: now.tokens.filter((one) => one.id !== id) }));
  }

  /** Whose token it is and what it may; null where it is none, has expired, or its account is disabled. */
  byToken(secret: string, now: Date): Person | null {
    const hash = hashOfSecret(secret);
    const known = this.#kept().tokens.find((one) => one.hash === hash);
    if (known === undefined || new Date(known.expires) <= now) return null;
    const owner = this.named(known.account);
    if (owner === null || owner.isDisabled || owner.since !== known.since) return null;
    const least = Math.min(roles.indexOf(known.role), roles.indexOf(owner.role));
    return { name: owner.name, role: roles[least] ?? "reader" };
  }

  #kept(): Kept {
    const stat = lstatSync(this.#path, { throwIfNoEntry: false });
    if (stat === undefined) return { schema: 1, accounts: [], tokens: [] };
    if (!stat.isFile()) throw new Error("accounts.json is no file of its own; put the file itself there");
    const stamp = `${stat.ino} ${stat.mtimeMs} ${stat.size}`;
    if (this.#read?.stamp !== stamp)
      this.#read = { stamp, kept: file.parse(JSON.parse(readFileSync(this.#path, "utf8"))) };
    return this.#read.kept;
  }

  #renew(name: string, to: (one: Account) => Account): void {
    this.#change((now) => {
      const before = found(now, name);
      const accounts = now.accounts.map((one) =>
        one === before ? { ...to(one), since: one.since + 1 } : one,
      );
      const isRuled = (list: readonly Account[]) =>
        list.some((one) => one.role === "administrator" && !one.isDisabled);
      if (isRuled(now.accounts) && !isRuled(accounts))
        throw new UnusableInput(`${before.name} is the last administrator. Make another one first.`);
      return { ...now, accounts };
    });
  }

  /** Reads and writes alone; whoever reads meanwhile sees the file before or after, never a half. */
  #change(work: (now: Kept) => Kept): void {
    mkdirSync(dirname(this.#path), { recursive: true, mode: 0o700 });
    const lock = `${this.#path}.lock`;
    takeLock(lock);
    try {
      const next = work(this.#kept());
      const beside = `${this.#path}.new`;
      rmSync(beside, { force: true });
      const open = openSync(beside, "wx", 0o600);
      writeSync(open, `${JSON.stringify(next, null, 1)}\n`);
      fsyncSync(open);
      closeSync(open);
      renameSync(beside, this.#path);
      this.#read = null;
    } finally {
      rmSync(lock, { force: true });
    }
  }
}

function found(now: Kept, name: string): Account {
  const one = now.accounts.find((known) => isSame(known.name, name));
  if (one === undefined)
    throw new UnusableInput(
      `There is no account ${name}.`,
      name,
      now.accounts.map((known) => known.name).join(", "),
    );
  return one;
}

/** @throws UnusableInput */
function usable(password: string, name: string): string {
  const length = [...password].length;
  if (length < shortestPassword || length > longestPassword)
    throw new UnusableInput(
      `A password has ${shortestPassword} to ${longestPassword} characters; this one has ${length}.`,
    );
  if (password.toLowerCase().includes(name.toLowerCase()) || new Set(password).size < 4)
    throw new UnusableInput("The password can be guessed: it holds the name, or few different characters.");
  return password;
}

/** One that was left behind by a program that ended is taken over. */
function takeLock(lock: string): void {
  const until = Date.now() + lockPatienceMs;
  for (;;)
    try {
      closeSync(openSync(lock, "wx", 0o600));
      return;
    } catch (fault) {
      if (!(fault instanceof Error && "code" in fault && fault.code === "EEXIST")) throw fault;
      if (Date.now() > until) rmSync(lock, { force: true });
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 20);
    }
}
