import { type AccountRole, type Accounts, roles } from "#api/access/accounts.ts";
import { madePassword } from "#api/access/passwords.ts";
import { type Given, maxTokenDays, numberOption, wordOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import type { Command, CommandOutcome, World } from "./command.ts";

const dayMs = 24 * 60 * 60_000;

/** What can be done with an account, each by its word. */
const deeds: Readonly<Record<string, (asked: Asked) => CommandOutcome | Promise<CommandOutcome>>> = {
  async add(asked) {
    const { password, words } = passwordOf(asked);
    const role = roleOf(asked);
    await asked.accounts.add(asked.name, role, password);
    return outcome(asked.accounts, [`${asked.name} is ${role}.`, ...words]);
  },
  role(asked) {
    const role = roleOf(asked);
    asked.accounts.setRole(asked.name, role);
    return outcome(asked.accounts, [`${asked.name} is ${role} and signed out everywhere.`]);
  },
  disable(asked) {
    asked.accounts.disable(asked.name);
    return outcome(asked.accounts, [
      `${asked.name} is disabled and signed out everywhere; tokens hold no longer. user reset lets them in again.`,
    ]);
  },
  async reset(asked) {
    const { password, words } = passwordOf(asked);
    await asked.accounts.reset(asked.name, password);
    return outcome(asked.accounts, [`${asked.name} is signed out everywhere.`, ...words]);
  },
  token(asked) {
    const days = numberOption(asked.given, "days", { above: 0, below: maxTokenDays + 1 });
    if (days === undefined)
      throw new UnusableInput(`A token needs an end: --days 1 to ${maxTokenDays}.`, "no --days", "--days N");
    const expires = new Date(asked.world.now().getTime() + days * dayMs);
    const role = roleOf(asked);
    const token = asked.accounts.addToken(asked.name, role, expires);
    return outcome(
      asked.accounts,
      [`A token of ${asked.name} as ${role} until ${expires.toISOString()}, shown this once:`, token],
      { token },
    );
  },
};

interface Asked {
  readonly accounts: Accounts;
  readonly name: string;
  readonly given: Given;
  readonly world: World;
  /** Whether the password comes on standard input. */
  readonly isTyped: boolean;
}

export const user: Command = {
  summary:
    "accounts of a server that others reach: add one, give it a role, disable it, reset its password, make a token for scripts, or list them; - takes the password from standard input, else one is made and shown once",
  usage: "add|role|disable|reset|token|list [NAME] [-] [--role reader|writer|administrator] [--days N]",
  flags: ["role", "days"],
  async run(words, given, world) {
    const [what = "", name, more, ...rest] = words;
    const accounts = await world.openAccounts();
    if (what === "list" && name === undefined) return outcome(accounts, listed(accounts));
    const deed = Object.hasOwn(deeds, what) ? deeds[what] : undefined;
    if (deed === undefined || name === undefined || (more !== undefined && more !== "-") || rest.length > 0)
      throw new UnusableInput(`user takes ${user.usage}.`, words.join(" "), user.usage);
    return deed({ accounts, name, given, world, isTyped: more === "-" });
  },
};

function roleOf({ given }: Asked): AccountRole {
  const role = wordOption(given, "role", roles);
  if (role === undefined)
    throw new UnusableInput(`Give a role: --role ${roles.join("|")}.`, "no --role", roles.join(", "));
  return role;
}

function passwordOf({ isTyped, world }: Asked): { password: string; words: string[] } {
  if (isTyped) {
    const [line = ""] = new TextDecoder().decode(world.readStandardInput()).split(/\r?\n/);
    return { password: line, words: [] };
  }
  const password = madePassword();
  return {
    password,
    words: [`The password, shown this once, to be changed at the first sign-in: ${password}`],
  };
}

function listed(accounts: Accounts): string[] {
  if (accounts.all.length === 0) return ["There are no accounts."];
  return accounts.all.map(({ name, role, isDisabled }) => `${name}: ${isDisabled ? "disabled" : role}`);
}

function outcome(accounts: Accounts, sentences: readonly string[], more: object = {}): CommandOutcome {
  const users = accounts.all.map(({ name, role, isDisabled }) => ({ name, role, isDisabled }));
  return { body: { ...more, ...{ users }, problems: [] }, sentences, isNo: false };
}
