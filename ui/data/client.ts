import { signal } from "@preact/signals";
import type { Contract } from "#api/contract/contract.ts";
import { inCode, onWire } from "#model/words/wireWords.ts";

/** Why the server could not be asked; null while all is well. */
export const trouble = signal<string | null>(null);

/** Whether the server wants to know who asks before it says anything. */
export const isSignedOut = signal(false);

/** When the server last acknowledged a change made here; null before the first. */
export const savedAt = signal<number | null>(null);

/** What was just done, said once in words for the eye and the screen reader. */
export const said = signal("");

/** Who works here, for the trail. Kept in this browser alone. */
export const person = signal(typeof localStorage === "undefined" ? "" : (localStorage.getItem("name") ?? ""));

export function setPerson(name: string): void {
  person.value = name;
  localStorage.setItem("name", name);
}

/** The same entry as changed here and as someone else left it; null theirs was deleted. */
export interface Clash {
  readonly message: string;
  readonly mine: Readonly<Record<string, unknown>>;
  readonly theirs: Readonly<Record<string, unknown>> | null;
  /** Keeps mine over theirs; null when theirs was deleted. */
  readonly keepMine: (() => Promise<boolean>) | null;
}

/** A change that someone else was quicker with; null when there is none. */
export const clash = signal<Clash | null>(null);

/** What goes with a request beside what its route asks for. */
interface Sent {
  readonly params?: Readonly<Record<string, string | number>>;
  readonly query?: Readonly<Record<string, string | number | undefined>>;
  readonly body?: unknown;
  /** A body that is sent as it is. */
  readonly text?: string;
  /** A file that is sent as it is. */
  readonly file?: Blob;
  /** The version the change was made from. */
  readonly version?: number | undefined;
  readonly why?: string | undefined;
}
type Asked<K extends keyof Contract> = Contract[K]["asked"] & Sent;

/** The server said no, in words. */
export class Refusal extends Error {
  readonly status: number;
  readonly theirs: { version: number; body: Record<string, unknown> } | null | undefined;

  constructor(message: string, status: number, theirs: Refusal["theirs"]) {
    super(message);
    this.status = status;
    this.theirs = theirs;
  }
}

/**
 * Asks the server what the API's contract says is at a route. A POST carries a key of its own, so that it is safe to send
 * it again when the answer is lost.
 */
export async function ask<K extends keyof Contract>(
  route: K,
  asked: Asked<K>,
): Promise<Contract[K]["answer"]> {
  const { params = {}, query = {}, body, version, why = "" } = asked;
  const [method = "", path = ""] = route.split(" /");
  const text = asked.file ?? asked.text ?? (body === undefined ? undefined : onWire(JSON.stringify(body)));
  const headers = {
    ...(person.value === "" ? {} : { "x-by": encodeURIComponent(person.value) }),
    ...(why === "" ? {} : { "x-why": encodeURIComponent(why) }),
    ...(version === undefined ? {} : { "if-match": `"${version}"` }),
    ...(method === "POST" ? { "idempotency-key": newKey() } : {}),
    ...(text === undefined
      ? {}
      : { "content-type": body !== undefined ? "application/json" : "application/octet-stream" }),
  };
  const at = path.replace(/\{(\w+)\}/g, (_, name) => String(params[name]));
  const wanted = Object.entries(query).map(([name, value]) => `${name}=${encodeURIComponent(value ?? "")}`);
  const sent = { method, headers, ...(text === undefined ? {} : { body: text }) };
  const response = await sentOrAgain(wanted.length === 0 ? at : `${at}?${wanted.join("&")}`, sent);
  const { ok, status } = response;
  const answer = status === 204 ? {} : JSON.parse(inCode(await response.text()));
  if (status === 401) isSignedOut.value = true;
  if (!ok && answer.problems === undefined)
    throw new Refusal(answer.detail ?? `The server answered ${status}.`, status, answer.theirs);
  // What was only looked at says that no change was made.
  if (ok && method !== "GET" && answer.seq !== null) {
    savedAt.value = Date.now();
    // It was of the change before.
    said.value = "";
  }
  return answer;
}

/** What is safe to send twice is. @throws Error in words where no answer came */
async function sentOrAgain(path: string, sent: RequestInit): Promise<Response> {
  const isSafeTwice = sent.method === "GET" || sent.method === "POST";
  try {
    return await fetch(path, sent).catch((fault) =>
      isSafeTwice ? fetch(path, sent) : Promise.reject(fault),
    );
  } catch {
    // The browser's own words for it differ, and help nobody. A change may have arrived and only its answer been lost.
    throw new Error(
      sent.method === "GET"
        ? "The server does not answer."
        : "The server does not answer. Once it does, check whether the change was saved before repeating it.",
    );
  }
}

/** What went wrong before is put away when something new is tried, not when it is done: a later fault must stay. */
export function attempt(work: () => Promise<void>): Promise<boolean> {
  trouble.value = null;
  return fetchBeside(work);
}

/** What a page fetches by itself: that it went well puts away nothing of what a person's own action met meanwhile. */
export async function fetchBeside(work: () => Promise<void>): Promise<boolean> {
  try {
    await work();
    return true;
  } catch (fault) {
    trouble.value = fault instanceof Error ? fault.message : String(fault);
    return false;
  }
}

type ChangeRoute = Extract<keyof Contract, `PUT ${string}`>;

/**
 * Changes an entry that was read as a version. If someone else was quicker, both versions are shown and nothing is lost.
 *
 * @param asked  without a version, what is noted for the first time
 * @param then   runs after the change was kept, also where mine is kept over theirs
 * @returns      whether it was kept: false where someone was quicker
 */
export async function changeEntry<K extends ChangeRoute>(
  route: K,
  asked: Asked<K>,
  then: () => Promise<unknown>,
): Promise<boolean> {
  let isKept = false;
  await attempt(async () => {
    try {
      await ask(route, asked);
    } catch (fault) {
      if (!(fault instanceof Refusal) || fault.theirs === undefined) throw fault;
      const { theirs } = fault;
      clash.value = {
        message: fault.message,
        mine: Object(asked.body),
        theirs: theirs?.body ?? null,
        keepMine:
          theirs === null ? null : () => changeEntry(route, { ...asked, version: theirs.version }, then),
      };
      return;
    }
    isKept = true;
    clash.value = null;
    await then();
  });
  return isKept;
}

/**
 * Notes the one entry there may be at a path; without a body it is taken away.
 *
 * @param kept  what stands there as last seen; null when nothing was noted yet
 */
export function noteOnly<K extends ChangeRoute>(
  route: K,
  entered: Asked<K>,
  kept: { readonly version: number } | null,
  then: () => Promise<unknown>,
): Promise<boolean> {
  const asked = { ...entered, version: kept?.version };
  if (entered.body !== null) return changeEntry(route, asked, then);
  return attempt(async () => {
    await ask(route, asked);
    await then();
  });
}

function newKey(): string {
  return Array.from(crypto.getRandomValues(new Uint32Array(4)), (n) => n.toString(36)).join("-");
}
