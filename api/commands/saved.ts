import { meant } from "#api/contract/nearest.ts";
import { type Given, isOn, textOption } from "#api/contract/options.ts";
import { UnusableInput } from "#api/faults.ts";
import type { Store } from "../store/store.ts";
import type { World } from "./command.ts";
import { labSwitch } from "./keeping.ts";

/** What may be named instead of a file: under which option, and what the lab keeps of that kind. */
const kinds = {
  band: async (store: Store) => (await store.bands()).bands.map(({ band }) => [band.name, band] as const),
  mill: async (store: Store) => (await store.mills()).mills.map(({ name, mill }) => [name, mill] as const),
};

/**
 * The world, with the saved bands and mills that options name as if they were files. A file of that name comes first,
 * and what looks like a path is one.
 *
 * @throws UnusableInput  there is neither such a file nor such an entry
 */
export async function withSaved(given: Given, world: World): Promise<World> {
  const files = new Map<string, Uint8Array>();
  for (const [kind, listed] of Object.entries(kinds)) {
    const name = textOption(given, kind);
    if (name === undefined || /\.json$|^-$/i.test(name) || isThere(name, world)) continue;
    const store = await world.openStore(isOn(given, labSwitch) ? "demo" : "shown");
    try {
      const saved = await listed(store);
      const [one, second] = saved.filter(([called]) => called.toLowerCase() === name.toLowerCase());
      if (one === undefined || second !== undefined)
        throw notOne(
          kind,
          name,
          saved.map(([called]) => called),
        );
      files.set(name, new TextEncoder().encode(JSON.stringify(one[1])));
    } finally {
      await store.close();
    }
  }
  if (files.size === 0) return world;
  return { ...world, readFile: (path) => files.get(path) ?? world.readFile(path) };
}

function isThere(path: string, world: World): boolean {
  try {
    world.readFile(path);
    return true;
  } catch {
    return false;
  }
}

function notOne(kind: string, name: string, known: readonly string[]): UnusableInput {
  const isTwice = known.some((one) => one.toLowerCase() === name.toLowerCase());
  const there = known.length === 0 ? `No ${kind} is saved yet.` : `The saved ones are ${known.join(", ")}.`;
  return new UnusableInput(
    isTwice
      ? `More than one saved ${kind} is named ${name}: rename all but one, or give a file.`
      : `There is no file ${name}, and no saved ${kind} of that name.${meant(name, known)} ${there}`,
    name,
    `a file, or the name of one saved ${kind}`,
  );
}
