import type { LotState, NewLot, SavedLot, SavedMeasurement } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { ask } from "./client.ts";
import { thenLoaded } from "./saving.ts";

// What changes how a lot stands and which portions its runs are of: fetched with the parts that ask for it.

/** What a person may say of a lot's state; who and when the server notes. */
type StateGiven = Pick<LotState, "name" | "why" | "lotId">;

/** Says that a lot is on hold, scrapped, went into another lot, or is open again. */
export function setState({ id, version }: SavedLot, state: StateGiven): Promise<boolean> {
  return thenLoaded(() => ask("POST /api/lots/{id}/state", { params: { id }, body: state, version }));
}

/** Makes a new lot of all the powder of a lot, which is marked as gone into it, as one change. @returns its number; null where it was refused */
export async function reworkLot(
  { id, version }: SavedLot,
  body: { readonly name: string; readonly stage: Stage; readonly massG: number | null },
): Promise<number | null> {
  let made: number | null = null;
  const isDone = await thenLoaded(async () => {
    made = (await ask("POST /api/lots/{id}/rework", { params: { id }, body, version })).lot.id;
  });
  return isDone ? made : null;
}

/** A lot as it is sent anew: what is not named here stays as it was. */
export const lotGiven = ({ name, material, densityGPerCm3, bandId, note }: SavedLot): NewLot => ({
  name,
  material,
  densityGPerCm3,
  bandId,
  note,
});

/** Notes the portion that these runs were measured on, or takes it away; all of them, or none. */
export function savePortion(
  runs: readonly SavedMeasurement[],
  portion: NonNullable<SavedMeasurement["portion"]> | null,
): Promise<boolean> {
  const asSeen = runs.map(({ id, version }) => ({ id, version }));
  return thenLoaded(() => ask("POST /api/how-measured", { body: { runs: asSeen, portion } }));
}
