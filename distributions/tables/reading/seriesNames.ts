import type { Series } from "#distributions/tables/layout/block.ts";

/** How often each name was used so far. */
export type UsedNames = ReadonlyMap<string, number>;

export interface NamedSeries {
  readonly series: Series;
  readonly name: string;
}

/** Blanks that look like the plain one, so that a name is found whichever was typed. */
const hardBlanks = /[\u00a0\u2007\u2009\u202f\u3000]/g;

/** Each series goes by its table's title and its heading, else by the file's stem; a repeat gets a number. */
export function namesOf(
  all: readonly Series[],
  { file, title = "" }: { readonly file: string | null; readonly title?: string | undefined },
  before: UsedNames,
): { named: readonly NamedSeries[]; names: UsedNames } {
  const stem = file === null ? "pasted table" : file.replace(/^.*[\\/]/, "").replace(/\.[^.]+$/, "");
  const names = new Map(before);
  const named = all.map((series) => {
    const called = title === "" ? series.heading : all.length === 1 ? title : `${title} ${series.heading}`;
    const name = called === "" ? stem : called.trim().replace(hardBlanks, " ");
    const count = (names.get(name) ?? 0) + 1;
    names.set(name, count);
    return { series, name: count === 1 ? name : `${name} (${count})` };
  });
  return { named, names };
}
