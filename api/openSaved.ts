import { whereaboutsOf, whyNotOpen } from "#api/store/database/database.ts";
import type { Store } from "#api/store/store.ts";
import { UnusableInput } from "./faults.ts";
import { type Labs, openLabs } from "./labs.ts";

/** Which store a command works on: the one the server's page shows, the demo, or the lab's own. */
export type WhichLab = "shown" | "demo" | "own";

/** Where labs are kept, and what a demo is made from. */
export interface LabPlaces {
  readonly environment: Readonly<Record<string, string | undefined>>;
  readonly usualFolder: string;
  readonly samples: string;
  /** Hears what the person should know of the lab that was opened. */
  readonly tell?: (said: string) => void;
}

/** The store a command works on. @throws UnusableInput  it cannot be opened, or there is no demo */
export async function openSaved(
  { environment, usualFolder, samples, tell = () => undefined }: LabPlaces,
  which: WhichLab = "shown",
): Promise<Store> {
  const whereabouts = whereaboutsOf(environment, usualFolder);
  let labs: Labs;
  try {
    labs = await openLabs(whereabouts, samples);
  } catch (fault) {
    throw new UnusableInput(whyNotOpen(whereabouts, fault));
  }
  const isDemo = which === "demo" || (which === "shown" && !(await labs.isStarted()));
  if (which === "demo" && labs.demo === null) {
    await labs.close();
    throw new UnusableInput(noDemo, "--demo", "a lab with a demo beside it");
  }
  if (isDemo && which !== "demo")
    tell(
      "note: A lab of your own is not started yet, so this is of the demo. Restoring a backup, or the page, starts one.",
    );
  return { ...(isDemo ? (labs.demo ?? labs.own) : labs.own), close: labs.close };
}

/** Why there is none, and what would help. */
export const noDemo =
  "There is no demo here: this lab was in use before one was made beside it. FINEBAND_DATA=folder with an empty folder makes one.";
