import { curveOf } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band, BandRow } from "#model/band/band.ts";
import { valueChanged } from "#model/band/valueChanged.ts";
import { placesOfOwnRuns } from "#model/lot/copies.ts";
import { judgedScale, onScale } from "./judgedScale.ts";
import type { LotPortions } from "./scatter.ts";

/** A run, and which portion of its lot it is of; runs without a word for it are of one portion. */
export type PortionRun = NamedMeasurement & { readonly portion?: string };

/** The rows of a band that every run knows on their scale. */
export function rowsKnown(runs: readonly NamedMeasurement[], band: Band): readonly BandRow[] {
  return band.rows.filter((row) => runs.every((run) => scaledValue(row, run, band, 1) !== null));
}

/** Whether every run knows every one of the rows. */
export function knowsAll(runs: readonly NamedMeasurement[], rows: readonly BandRow[], band: Band): boolean {
  return runs.every((run) => rows.every((row) => scaledValue(row, run, band, 1) !== null));
}

/**
 * The rows' values of a lot's runs on their scales, by portion; copies are no runs. Runs that state no portion are of one.
 *
 * @param runs        by volume, each of which knows every row
 * @param sizeFactor  every size multiplied by it
 */
export function portionsOf(
  runs: readonly PortionRun[],
  rows: readonly BandRow[],
  band: Band,
  sizeFactor = 1,
): LotPortions {
  const places = placesOfOwnRuns(runs.map((run) => curveOf(run.distribution)));
  const counting = places.map((place) => itemAt(runs, place));
  const portionOf = (run: PortionRun) => run.portion;
  const names = [...new Set(counting.map(portionOf))];
  return names.map((name) =>
    counting
      .filter((run) => portionOf(run) === name)
      .map((run) => rows.flatMap((row) => scaledValue(row, run, band, sizeFactor) ?? [])),
  );
}

function scaledValue(row: BandRow, run: NamedMeasurement, band: Band, sizeFactor: number): number | null {
  const scale = judgedScale(row);
  const value = scale === null ? null : valueChanged(row, run.distribution, band, sizeFactor);
  return scale === null || value === null ? null : onScale(value, scale);
}
