import type { Kysely } from "kysely";
import { kinds } from "#api/records/kinds.ts";
import type { Damaged, NewBatch, NewPriors, SavedBatch, SavedPriors } from "#api/records/records.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesOf, withIds } from "#api/store/ledger/entries.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import type { Stage } from "#model/lot/stages.ts";
import { only } from "./only.ts";
import { stageOf } from "./stageOfLot.ts";

/** The priors of mills, one entry a mill and material, and batches, one entry a stage of a lot. */
export function makePriors(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    async savedPriors(): Promise<{ savedPriors: SavedPriors[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "belief");
      return { savedPriors: withIds(kept), damaged };
    },

    /** What is known of a mill with a material, one entry each; null takes it back to what is known of the mill, or to the usual. */
    keepPriors: (
      { millId, materialId }: { readonly millId: number; readonly materialId: number | null },
      priors: NewPriors | null,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const { name } = await writer.read("mill", millId);
        const material = materialId === null ? null : await writer.read("material", materialId);
        const all = (await entriesOf(writer.tx, "belief", millId)).kept;
        const now = all.find(({ body }) => (body.materialId ?? null) === materialId);
        const body = priors && { millId, ...priors, ...(materialId === null ? {} : { materialId }) };
        await only(writer, "belief", { now: now ?? null, expected }, body);
        const beside = material === null ? "" : ` with ${kinds.material.title(material)}`;
        return { what: `saved the priors of mill "${name}"${beside}` };
      }),

    async batches(): Promise<{ batches: SavedBatch[]; damaged: readonly Damaged[] }> {
      const { kept, damaged } = await entriesOf(db, "batch");
      return { batches: withIds(kept), damaged };
    },

    /** A batch from a stage of a lot, one entry a stage; null takes it away. */
    keepBatch: (
      { lotId, stage: at }: { readonly lotId: number; readonly stage: Stage },
      batch: NewBatch | null,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const { name, material } = await writer.read("lot", lotId);
        const stage = await stageOf(writer.tx, material, at);
        const now = (await entriesOf(writer.tx, "batch", lotId)).kept.find((b) => b.body.stage === stage);
        await only(writer, "batch", { now: now ?? null, expected }, batch && { lotId, stage, ...batch });
        return { what: `noted a batch from ${stage} of lot "${name}"` };
      }),
  };
}
