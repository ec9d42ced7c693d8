import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";

/** What counts as one lot: the measurements of each file, or all of them. */
export type LotsBy = "file" | "all";

export const lotsByOptions: readonly LotsBy[] = ["file", "all"];

/** The measurements grouped into lots, each the runs of one powder. */
export function lotsOf<Named extends Pick<NamedMeasurement, "file">>(
  measurements: readonly Named[],
  by: LotsBy,
): { readonly file: string | null; readonly runs: readonly Named[] }[] {
  if (measurements.length === 0) return [];
  const byFile = new Map<string | null, Named[]>();
  for (const one of measurements) {
    const runs = byFile.get(one.file);
    if (runs === undefined) byFile.set(one.file, [one]);
    else runs.push(one);
  }
  const lots = [...byFile].map(([file, runs]) => ({ file, runs }));
  const [first] = lots;
  if (by === "all")
    return [{ file: lots.length === 1 && first !== undefined ? first.file : null, runs: measurements }];
  return lots;
}
