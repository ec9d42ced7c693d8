import { signal } from "@preact/signals";
import type { Contract } from "#api/contract/contract.ts";
import { ask, attempt } from "./client.ts";
import { forgetDrafts } from "./draft.ts";

type Session = Contract["GET /api/session"]["answer"];

/** Who is signed in at this server, and whether one must be; null until it was asked. */
export const session = signal<Session | null>(null);

export function loadSession(): Promise<boolean> {
  return attempt(async () => {
    session.value = await ask("GET /api/session", {});
  });
}

/** Signs in and loads the page anew, so that all of it is asked for by whoever signed in. @throws Refusal */
export async function signIn(name: string, password: string): Promise<void> {
  await ask("POST /api/session", { body: { name, password } });
  location.reload();
}

/** @param isEverywhere  whether all other sessions and tokens of the account end too */
export function signOut(isEverywhere: boolean): Promise<boolean> {
  return attempt(async () => {
    await ask("DELETE /api/session", { query: isEverywhere ? { everywhere: "true" } : {} });
    forgetDrafts();
    location.reload();
  });
}
