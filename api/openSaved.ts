import { whereaboutsOf, whyNotOpen } from "#api/store/database/database.ts";
import { openStore } from "#api/store/openStore.ts";
import type { Store } from "#api/store/store.ts";
import { UnusableInput } from "./faults.ts";

/** The store a command works on: the one the server would open. @throws UnusableInput  it cannot be opened */
export async function openSaved(
  environment: Readonly<Record<string, string | undefined>>,
  usualFolder: string,
): Promise<Store> {
  const whereabouts = whereaboutsOf(environment, usualFolder);
  try {
    return await openStore(whereabouts, () => new Date());
  } catch (fault) {
    throw new UnusableInput(whyNotOpen(whereabouts, fault));
  }
}
