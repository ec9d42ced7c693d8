import type { Kysely } from "kysely";
import { kinds } from "#api/records/kinds.ts";
import type { Bodies, Damaged, SavedBand, SavedMill, SavedPair, SavedTrial } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, withIds } from "#api/store/ledger/entries.ts";
import { append, type Occasion, type Written } from "#api/store/ledger/ledger.ts";
import type { Band } from "#model/band/band.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { BetPair } from "#model/surface/bet.ts";

export type NewTrial = Omit<Bodies["trial"], "millId" | "asideBecause"> & {
  readonly asideBecause?: string | null;
};

/** What stands on the shelf: bands, mills with their trials, BET pairs. */
export function makeBands(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: Occasion, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    async bands(): Promise<{ bands: SavedBand[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "band");
      return { bands: kept.map(({ id, version, body }) => ({ id, version, band: body })), damaged };
    },

    keepBand: (band: Band, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        await pen.make("band", band);
        return { what: `kept ${kinds.band.title(band)}` };
      }),

    changeBand: (id: number, band: Band, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        const was = await pen.change("band", id, expected, () => band);
        return {
          what:
            was.name === band.name
              ? `changed ${kinds.band.title(band)}`
              : `renamed ${kinds.band.title(was)} to "${band.name}"`,
        };
      }),

    /** Deletes a band; lots that were held against it are held against none. */
    removeBand: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        const lots = await entriesOf(pen.tx, "lot");
        for (const lot of lots.kept.filter((l) => l.body.bandId === id))
          await pen.change("lot", lot.id, null, (now) => ({ ...now, bandId: null }));
        return { what: `deleted ${kinds.band.title(await pen.remove("band", id, expected))}` };
      }),

    async mills(): Promise<{ mills: SavedMill[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "mill");
      return { mills: withIds(kept), damaged };
    },

    keepMill: (name: string, mill: Mill, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        await pen.make("mill", { name, mill });
        return { what: `kept mill "${name}"` };
      }),

    changeMill: (
      id: number,
      name: string,
      mill: Mill,
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        const was = await pen.change("mill", id, expected, () => ({ name, mill }));
        return {
          what: was.name === name ? `changed mill "${name}"` : `renamed mill "${was.name}" to "${name}"`,
        };
      }),

    /** Deletes a mill with its trials. */
    removeMill: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        const was = await pen.remove("mill", id, expected, ["trial", "belief"]);
        return { what: `deleted mill "${was.name}" with its trials` };
      }),

    async trials(millId: number): Promise<{ trials: SavedTrial[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "trial", millId);
      return { trials: withIds(kept), damaged };
    },

    /** All of the trials, or none. */
    keepTrials: (millId: number, trials: readonly NewTrial[], occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        const { name } = await pen.read("mill", millId);
        for (const trial of trials) await pen.make("trial", { millId, asideBecause: null, ...trial });
        const which = trials.length === 1 ? `trial "${trials[0]?.name ?? ""}"` : `${trials.length} trials`;
        return { what: `kept ${which} of mill "${name}"` };
      }),

    changeTrial: (
      id: number,
      trial: NewTrial,
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        const was = await pen.change("trial", id, expected, (now) => ({
          millId: now.millId,
          asideBecause: null,
          ...trial,
        }));
        const isAside = (trial.asideBecause ?? null) !== null;
        if (isAside !== (was.asideBecause !== null))
          return { what: `${isAside ? "set aside" : "counts again:"} trial "${trial.name}"` };
        return {
          what:
            was.name === trial.name
              ? `changed trial "${trial.name}"`
              : `renamed trial "${was.name}" to "${trial.name}"`,
        };
      }),

    removeTrial: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => ({
        what: `deleted ${kinds.trial.title(await pen.remove("trial", id, expected))}`,
      })),

    async pairs(): Promise<{ pairs: SavedPair[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "pair");
      return { pairs: withIds(kept), damaged };
    },

    keepPair: (pair: BetPair, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        await pen.make("pair", pair);
        return { what: `noted ${kinds.pair.title(pair)}` };
      }),

    changePair: (id: number, pair: BetPair, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => {
        await pen.change("pair", id, expected, () => pair);
        return { what: `changed ${kinds.pair.title(pair)}` };
      }),

    removePair: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, async (pen) => ({
        what: `deleted ${kinds.pair.title(await pen.remove("pair", id, expected))}`,
      })),
  };
}
