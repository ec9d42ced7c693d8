import { type Given, isOn } from "#api/contract/options.ts";
import type { Damaged } from "#api/records/records.ts";
import type { ChangeContext } from "#api/store/ledger/ledger.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { WhichLab } from "../openSaved.ts";
import type { Store } from "../store/store.ts";
import type { CommandOutcome, World } from "./command.ts";

/** What the trail says of a change made by a command. */
export const byCommand: ChangeContext = { kind: "change", by: "command line", why: "", request: null };

/** The switch of every verb that works on what is saved. */
export const labSwitch = "demo";

/**
 * Opens the store, asks it, and closes it whatever happens.
 *
 * @param usual  which one where the demo is not asked for by --demo
 */
export async function withStore(
  { world, given, usual = "shown" }: { world: World; given: Given; usual?: WhichLab },
  work: (store: Store) => Promise<CommandOutcome>,
): Promise<CommandOutcome> {
  const store = await world.openStore(isOn(given, labSwitch) ? "demo" : usual);
  try {
    return await work(store);
  } finally {
    await store.close();
  }
}

export function damageProblems(damaged: readonly Damaged[]): Problem[] {
  return damaged.map((d) =>
    problem("refused", d.message, {
      found: `${d.kind} ${d.id}`,
      expected: "an entry that matches its checksum",
    }),
  );
}
