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
  const files = [...new Set(measurements.map((m) => m.file))];
  if (by === "all") return [{ file: files.length === 1 ? (files[0] ?? null) : null, runs: measurements }];
  return files.map((file) => ({ file, runs: measurements.filter((m) => m.file === file) }));
}
