import { bands } from "#ui/data/entries.ts";

/** The name, with a number behind it when a band has it already. */
export function freeBandName(name: string): string {
  const taken = new Set(bands.value.map((b) => b.band.name));
  let free = name;
  for (let n = 2; taken.has(free); n++) free = `${name} (${n})`;
  return free;
}
