import type { Band } from "#model/band/band.ts";
import { growthOf, meanShift, type RefiringGrowth } from "./refiringGrowth.ts";

/** What the milled powder must meet so that the re-fired one meets a row of the band: the row's limits over the mean growth. */
export interface TargetRow {
  readonly limit: string;
  readonly low: number | null;
  readonly high: number | null;
}

/** The growth that counts for a band: none where the band is for the milled powder itself, or no lot has both stages. */
export function growthFor<G extends RefiringGrowth>(
  growth: G | null,
  band: { readonly stage: string },
): G | null {
  return band.stage === "milled" ? null : growth;
}

/** The band set back to the milled powder; empty where no lot has both stages or the band is for the milled powder. */
export function targetBeforeRefiring(growth: RefiringGrowth | null, band: Band): TargetRow[] {
  const counted = growthFor(growth, band);
  if (counted === null) return [];
  const mean = growthOf(counted, meanShift);
  const of = { d10Um: mean.d10, d50Um: mean.d50, d90Um: mean.d90 } as const;
  return band.rows.flatMap((row) => {
    const ratio = Object.entries(of).find(([limit]) => limit === row.limit)?.[1];
    return ratio === undefined
      ? []
      : [
          {
            limit: row.limit,
            low: row.low === null ? null : row.low / ratio,
            high: row.high === null ? null : row.high / ratio,
          },
        ];
  });
}
