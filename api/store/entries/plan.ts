import type { Kysely } from "kysely";
import { kinds } from "#api/records/kinds.ts";
import type {
  Balance,
  Bodies,
  Damaged,
  EntryKind,
  NewBatch,
  NewPriors,
  PressureMill,
  SavedBalance,
  SavedBatch,
  SavedPressureMill,
  SavedPriors,
} from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, withIds } from "#api/store/ledger/entries.ts";
import type { EventWriter } from "#api/store/ledger/eventWriter.ts";
import { append, type Occasion, type Written } from "#api/store/ledger/ledger.ts";
import type { Stage } from "#model/lot/stages.ts";
import { only } from "./only.ts";

/** What a plan rests on beside mills and trials: beliefs, mills without a wheel, stream balances, batches. */
export function makePlan(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: Occasion, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  const listed = async <K extends PlanKind>(kind: K) => {
    const { kept, damaged } = await entriesOf(db, kind);
    return { list: withIds(kept), damaged };
  };
  return {
    async beliefs(): Promise<{ beliefs: SavedPriors[]; damaged: readonly Damaged[] }> {
      const { list, damaged } = await listed("belief");
      return { beliefs: list, damaged };
    },

    /** What is believed of a mill, one entry a mill; null takes it back to the usual. */
    keepBelief: (
      millId: number,
      belief: NewPriors | null,
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        const { name } = await pen.read("mill", millId);
        const [now] = (await entriesOf(pen.tx, "belief", millId)).kept;
        await only(pen, "belief", now ?? null, belief && { millId, ...belief }, expected);
        return { what: `noted what is believed of mill "${name}" before trials` };
      }),

    async batches(): Promise<{ batches: SavedBatch[]; damaged: readonly Damaged[] }> {
      const { list, damaged } = await listed("batch");
      return { batches: list, damaged };
    },

    /** A batch from a stage of a lot, one entry a stage; null takes it away. */
    keepBatch: (
      lotId: number,
      stage: Stage,
      batch: NewBatch | null,
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> =>
      change(occasion, async (pen) => {
        const { name } = await pen.read("lot", lotId);
        const now = (await entriesOf(pen.tx, "batch", lotId)).kept.find((b) => b.body.stage === stage);
        await only(pen, "batch", now ?? null, batch && { lotId, stage, ...batch }, expected);
        return { what: `noted a batch from ${stage} of lot "${name}"` };
      }),

    async pressureMills(): Promise<{ pressureMills: SavedPressureMill[]; damaged: readonly Damaged[] }> {
      const { list, damaged } = await listed("pressureMill");
      return { pressureMills: list, damaged };
    },
    keepPressureMill: (mill: PressureMill, occasion: Occasion): Promise<Written> =>
      change(occasion, (pen) => made(pen, "pressureMill", mill)),
    changePressureMill: (
      id: number,
      mill: PressureMill,
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> => change(occasion, (pen) => changed(pen, "pressureMill", id, mill, expected)),
    removePressureMill: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, (pen) => removed(pen, "pressureMill", id, expected)),

    async balances(): Promise<{ balances: SavedBalance[]; damaged: readonly Damaged[] }> {
      const { list, damaged } = await listed("balance");
      return { balances: list, damaged };
    },
    keepBalance: (balance: Balance, occasion: Occasion): Promise<Written> =>
      change(occasion, (pen) => made(pen, "balance", balance)),
    changeBalance: (
      id: number,
      balance: Balance,
      expected: number | null,
      occasion: Occasion,
    ): Promise<Written> => change(occasion, (pen) => changed(pen, "balance", id, balance, expected)),
    removeBalance: (id: number, expected: number | null, occasion: Occasion): Promise<Written> =>
      change(occasion, (pen) => removed(pen, "balance", id, expected)),
  };
}

type PlanKind = "belief" | "batch" | "pressureMill" | "balance";

async function made<K extends EntryKind>(
  pen: EventWriter,
  kind: K,
  body: Bodies[K],
): Promise<{ what: string }> {
  await pen.make(kind, body);
  return { what: `kept ${kinds[kind].title(body)}` };
}

async function changed<K extends EntryKind>(
  pen: EventWriter,
  kind: K,
  id: number,
  body: Bodies[K],
  expected: number | null,
): Promise<{ what: string }> {
  await pen.change(kind, id, expected, () => body);
  return { what: `changed ${kinds[kind].title(body)}` };
}

async function removed<K extends EntryKind>(
  pen: EventWriter,
  kind: K,
  id: number,
  expected: number | null,
): Promise<{ what: string }> {
  return { what: `deleted ${kinds[kind].title(await pen.remove(kind, id, expected))}` };
}
