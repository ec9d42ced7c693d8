import type { Kysely } from "kysely";
import { type Bodies, kinds } from "#api/records/kinds.ts";
import type { Damaged, NewTrial, SavedBand, SavedMill, SavedTrial } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, withIds } from "#api/store/ledger/entries.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import type { Band } from "#model/band/band.ts";
import { trialToKeep } from "./trialToKeep.ts";

/** Bands, and mills with their trials. */
export function makeEquipment(db: Kysely<Tables>, clock: () => Date) {
  return { ...makeBands(db, clock), ...makeMills(db, clock), ...makeTrials(db, clock) };
}

function makeBands(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    async bands(): Promise<{ bands: SavedBand[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "band");
      return { bands: kept.map(({ id, version, body }) => ({ id, version, band: body })), damaged };
    },

    keepBand: (band: Band, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        await writer.make("band", band);
        return { what: `saved ${kinds.band.title(band)}` };
      }),

    changeBand: (
      id: number,
      band: Band,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.change("band", id, expected, () => band);
        return {
          what:
            was.name === band.name
              ? `changed ${kinds.band.title(band)}`
              : `renamed ${kinds.band.title(was)} to "${band.name}"`,
        };
      }),

    /** Deletes a band; lots and materials that were held against it are held against none. */
    removeBand: (id: number, expected: number | null, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        const lots = await entriesOf(writer.tx, "lot");
        for (const lot of lots.kept.filter((l) => l.body.bandId === id))
          await writer.change("lot", lot.id, null, (now) => ({ ...now, bandId: null }));
        const materials = await entriesOf(writer.tx, "material");
        for (const { id: materialId, body } of materials.kept)
          if (body.bands.some((one) => one.bandId === id))
            await writer.change("material", materialId, null, (now) => ({
              ...now,
              bands: now.bands.filter((one) => one.bandId !== id),
            }));
        return { what: `deleted ${kinds.band.title(await writer.remove("band", id, expected))}` };
      }),
  };
}

function makeMills(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    async mills(): Promise<{ mills: SavedMill[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "mill");
      return { mills: withIds(kept), damaged };
    },

    keepMill: (mill: Bodies["mill"], occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        await writer.make("mill", mill);
        return { what: `saved ${kinds.mill.title(mill)}` };
      }),

    changeMill: (
      id: number,
      mill: Bodies["mill"],
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.change("mill", id, expected, () => mill);
        return {
          what:
            was.name === mill.name
              ? `changed mill "${mill.name}"`
              : `renamed mill "${was.name}" to "${mill.name}"`,
        };
      }),

    /** Deletes a mill with its trials. */
    removeMill: (id: number, expected: number | null, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.remove("mill", id, expected);
        return { what: `deleted mill "${was.name}" with its trials` };
      }),
  };
}

function makeTrials(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    async trials(millId: number): Promise<{ trials: SavedTrial[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "trial", millId);
      return { trials: withIds(kept), damaged };
    },

    /** All of the trials, or none. */
    keepTrials: (millId: number, trials: readonly NewTrial[], occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        const { name } = await writer.read("mill", millId);
        for (const trial of trials)
          await writer.make("trial", { millId, ...(await trialToKeep(writer, trial, null)) });
        const which = trials.length === 1 ? `trial "${trials[0]?.name ?? ""}"` : `${trials.length} trials`;
        return { what: `saved ${which} of mill "${name}"` };
      }),

    changeTrial: (
      id: number,
      trial: NewTrial,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.read("trial", id, expected);
        const body = { millId: was.millId, ...(await trialToKeep(writer, trial, was)) };
        await writer.change("trial", id, expected, () => body);
        const isExcluded = trial.exclusionReason !== null;
        if (isExcluded !== (was.exclusionReason !== null))
          return { what: `${isExcluded ? "excluded" : "included again:"} trial "${trial.name}"` };
        return {
          what:
            was.name === trial.name
              ? `changed trial "${trial.name}"`
              : `renamed trial "${was.name}" to "${trial.name}"`,
        };
      }),

    removeTrial: (id: number, expected: number | null, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => ({
        what: `deleted ${kinds.trial.title(await writer.remove("trial", id, expected))}`,
      })),
  };
}
