import type { Contract } from "#api/contract/contract.ts";
import { ask } from "./client.ts";

export type ListedAccount = Contract["GET /api/accounts"]["answer"]["accounts"][number];
export type ListedToken = Contract["GET /api/tokens"]["answer"]["tokens"][number];
type AccountRole = ListedAccount["role"];

/** From the one who looks and asks to the one who may do everything. */
export const roles: readonly AccountRole[] = ["reader", "writer", "administrator"];

export const fetchAccounts = async (): Promise<readonly ListedAccount[]> =>
  (await ask("GET /api/accounts", {})).accounts;

/** @returns  the first password @throws Refusal */
export const addAccount = async (name: string, role: AccountRole): Promise<string> =>
  (await ask("POST /api/accounts", { body: { name, role } })).password;

export const changeAccount = (
  name: string,
  to: { role?: AccountRole; isDisabled?: true },
): Promise<unknown> => ask("PUT /api/accounts/{name}", { params: { name }, body: to });

/** @returns  the new password @throws Refusal */
export const resetPassword = async (name: string): Promise<string> =>
  (await ask("POST /api/accounts/{name}/password", { params: { name } })).password;

export const fetchTokens = async (): Promise<readonly ListedToken[]> =>
  (await ask("GET /api/tokens", {})).tokens;

/** @returns  the token @throws Refusal */
export const addToken = async (role: AccountRole, days: number): Promise<string> =>
  (await ask("POST /api/tokens", { body: { role, days } })).token;

export const endToken = (id: string): Promise<unknown> => ask("DELETE /api/tokens/{id}", { params: { id } });

/** Signs out everywhere. @throws Refusal */
export async function changePassword(old: string, to: string): Promise<void> {
  await ask("PUT /api/session/password", { body: { old, new: to } });
  location.reload();
}
