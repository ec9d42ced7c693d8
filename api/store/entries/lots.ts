import type { Kysely } from "kysely";
import type { StageSummary } from "#api/contract/summaries.ts";
import type { Damaged, NewLot, Saved, SavedLot, SavedMeasurement } from "#api/records/records.ts";
import { goneLots, unlistedLots } from "#api/store/database/lotListFaults.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { entriesById, entriesByParent, entriesOf, entryOf } from "#api/store/ledger/entries.ts";
import { plain } from "#api/store/ledger/eventWriter.ts";
import { append, type ChangeContext, type Written } from "#api/store/ledger/ledger.ts";
import { folded, inProcessOrder, stageMeant, stageName, usualSteps } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import { goneLot, lostLots, miscounted, misplacedLot, type RunsByLot, unlistedLot } from "./lotDamage.ts";
import type { LotQuery } from "./lotOrder.ts";
import { listedLots, summariesOfLot } from "./lotQuery.ts";
import { lotToKeep, refuseWhileNamed, type StateTold, stateToKeep } from "./lotToKeep.ts";
import { stageOf } from "./stageOfLot.ts";

/** A lot of the list. */
export type ListedLot = SavedLot & { readonly summary: StageSummary | null };

/** A lot with its runs, and those of them that are damaged. */
export interface WholeLot {
  readonly lot: SavedLot;
  readonly measurements: SavedMeasurement[];
  readonly damaged: readonly Damaged[];
}

/** Lots, each with its runs. */
export function makeLots(db: Kysely<Tables>, clock: () => Date) {
  const change = (occasion: ChangeContext, work: Parameters<typeof append>[3]) =>
    append(db, clock, occasion, work);
  return {
    /**
     * The lots that are asked for, each with what was computed of the stage it is shown at, how many there are of them,
     * where the next page begins, and those that are damaged.
     */
    async lots(asked: LotQuery = {}): Promise<{
      lots: ListedLot[];
      total: number;
      next: string | null;
      damaged: readonly Damaged[];
    }> {
      const {
        found,
        total,
        next,
        damaged: misplaced,
      } = await listedLots(db, await withStageMeant(db, asked));
      const ids = asked.limit === undefined ? null : found.map(({ lot }) => lot);
      const { kept, damaged } = await (ids === null ? entriesOf(db, "lot") : entriesById(db, "lot", ids));
      const runs = await countedRuns(db, ids);
      const materials = await materialsByPart(db);
      const byId = new Map(kept.map((lot) => [lot.id, lot]));
      const lots = found.flatMap(({ lot: id, summary }) => {
        const lot = byId.get(id);
        return lot === undefined ? [] : [{ ...withRuns(lot, runs, materials), summary }];
      });
      const shown = new Set(found.map(({ lot }) => lot));
      const known = new Set([...byId.keys(), ...damaged.map(({ id }) => id)]);
      const gone = await goneLots(
        db,
        found.map(({ lot }) => lot).filter((id) => !known.has(id)),
      );
      return {
        lots,
        total,
        next,
        damaged: [
          ...lostLots(db),
          ...damaged.filter(({ id }) => shown.has(id)),
          ...misplaced.map(misplacedLot),
          ...materials.damaged,
          ...gone.map(goneLot),
          ...(await unlistedLots(db)).map(unlistedLot),
        ],
      };
    },

    /** What was computed of each stage of a lot. */
    summaries: (lotId: number): Promise<StageSummary[]> => summariesOfLot(db, lotId),

    /** A lot with its runs; null when there is none. @throws DamagedEntry */
    async lot(id: number): Promise<WholeLot | null> {
      const lot = await entryOf(db, "lot", id);
      return lot === null ? null : ((await withMeasurements(db, [lot]))[0] ?? null);
    },

    /** Those of these lots that are there, each with its runs, and those that are damaged. */
    async wholeLots(ids: readonly number[]): Promise<{
      lots: WholeLot[];
      damaged: readonly Damaged[];
    }> {
      const { kept, damaged } = await entriesById(db, "lot", ids);
      return { lots: await withMeasurements(db, kept), damaged };
    },

    /** The lot, and its material where the name finds none, in one change. */
    keepLot: (lot: NewLot, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        const body = await lotToKeep(writer, lot, { id: await writer.nextId("lot"), was: null });
        await writer.make("lot", { ...body, keptAt: clock().toISOString() });
        return { what: `saved lot "${lot.name}"` };
      }),

    changeLot: (
      id: number,
      lot: NewLot,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.read("lot", id, expected);
        const body = await lotToKeep(writer, lot, { id, was });
        await writer.change("lot", id, expected, () => ({ ...body, keptAt: was.keptAt }));
        if ((body.exclusionReason === undefined) !== (was.exclusionReason === undefined))
          return {
            what: `${body.exclusionReason === undefined ? "included again:" : "excluded"} lot "${lot.name}"`,
          };
        return {
          what:
            was.name === lot.name
              ? `changed lot "${lot.name}"`
              : `renamed lot "${was.name}" to "${lot.name}"`,
        };
      }),

    /** Says that a lot is on hold, released, gone into another and so on; who and when stand beside it. */
    setState: (
      id: number,
      entered: StateTold,
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const state = await stateToKeep(writer, id, {
          ...entered,
          by: occasion.by,
          at: clock().toISOString(),
        });
        const was = await writer.change("lot", id, expected, (now) => ({ ...now, state }));
        return { what: `marked lot "${was.name}" ${state.name}` };
      }),

    /** A new lot of all the powder of another, which is marked as gone into it: one change. @throws NoSuchEntry, DomainError */
    reworkLot: (
      id: number,
      asked: {
        readonly name: string;
        readonly stage: Stage;
        readonly massG: number | null;
        readonly why: string;
      },
      expected: number | null,
      occasion: ChangeContext,
    ): Promise<Written> =>
      change(occasion, async (writer) => {
        const { name, stage, massG, why } = asked;
        const { material, densityGPerCm3, bandId } = await writer.read("lot", id, expected);
        const parents = [{ lotId: id, stage, share: 1, massG }];
        const entered = { name, material, densityGPerCm3, bandId, note: "", parents };
        const body = await lotToKeep(writer, entered, { id: await writer.nextId("lot"), was: null });
        const keptAt = clock().toISOString();
        const lotId = await writer.make("lot", { ...body, keptAt });
        const state = { name: "reworked into", why, lotId, by: occasion.by, at: keptAt } as const;
        const was = await writer.change("lot", id, expected, (now) => ({ ...now, state }));
        return { what: `reworked lot "${was.name}" into "${name}"` };
      }),

    removeLot: (id: number, expected: number | null, occasion: ChangeContext): Promise<Written> =>
      change(occasion, async (writer) => {
        const was = await writer.remove("lot", id, expected);
        await refuseWhileNamed(writer.tx, id, was.name);
        return { what: `deleted lot "${was.name}"` };
      }),
  };
}

/** The stage asked for by the word of the material asked for, else of the first that knows it. */
async function withStageMeant(db: Kysely<Tables>, asked: LotQuery): Promise<LotQuery> {
  const { stage, material } = asked;
  if (stage === undefined) return asked;
  if (material !== undefined) return { ...asked, stage: await stageOf(db, material, stage) };
  const { kept } = await entriesOf(db, "material");
  return {
    ...asked,
    stage: stageMeant(
      kept.flatMap(({ body }) => body.steps),
      stage,
    ),
  };
}

async function withMeasurements(db: Kysely<Tables>, lots: readonly Saved<"lot">[]): Promise<WholeLot[]> {
  const ids = lots.map(({ id }) => id);
  const counted = await countedRuns(db, ids);
  const materials = await materialsByPart(db);
  const runs = await entriesByParent(db, "measurement", ids);
  const whole: WholeLot[] = [];
  for (const lot of lots) {
    const found = runs.get(lot.id) ?? { kept: [], damaged: [] };
    const isKnown = materials.byPart.has(plain(folded(lot.body.material)));
    const unknown = isKnown ? [] : materials.damaged;
    whole.push({
      lot: withRuns(lot, counted, materials),
      measurements: found.kept.map(({ id, version, body: { importId: _, ...body } }) => ({
        id,
        version,
        ...body,
      })),
      damaged: [...found.damaged, ...unknown, ...(await miscounted(db, lot.id, found, counted))],
    });
  }
  return whole;
}

/** The materials by their folded names, and those that cannot be read. */
interface Materials {
  readonly byPart: ReadonlyMap<string, Saved<"material">>;
  readonly damaged: readonly Damaged[];
}

async function materialsByPart(db: Kysely<Tables>): Promise<Materials> {
  const { kept, damaged } = await entriesOf(db, "material");
  return { byPart: new Map(kept.map((one) => [plain(folded(one.body.name)), one])), damaged };
}

/** How many runs that count each stage of each lot has. @param lotIds  null for all */
async function countedRuns(db: Kysely<Tables>, lotIds: readonly number[] | null): Promise<RunsByLot> {
  if (lotIds?.length === 0) return new Map();
  let query = db.selectFrom("lot_stages").select(["lot", "stage", "runs"]);
  if (lotIds !== null) query = query.where("lot", "in", [...lotIds]);
  const runs = new Map<number, Map<string, number>>();
  for (const row of await query.execute()) {
    const ofLot = runs.get(row.lot) ?? new Map<string, number>();
    runs.set(row.lot, ofLot.set(row.stage, row.runs));
  }
  return runs;
}

/** What a lot is while nothing was said of it. */
const open = { name: "open", by: "", at: "", why: "", lotId: null } as const;

function withRuns({ id, version, body }: Saved<"lot">, runs: RunsByLot, { byPart }: Materials): SavedLot {
  const ofLot = runs.get(id) ?? new Map<string, number>();
  const found = byPart.get(plain(folded(body.material)));
  const steps = found?.body.steps ?? usualSteps;
  const { dateMade = null, parents = [], state = open, exclusionReason = null, ...entered } = body;
  return {
    id,
    version,
    ...entered,
    stages: inProcessOrder(steps, [...ofLot.keys()]).flatMap((stage) => {
      const count = ofLot.get(stage);
      const name = stageName(steps, stage);
      return count === undefined ? [] : [{ stage, runs: count, ...(name === stage ? {} : { name }) }];
    }),
    materialId: found?.id ?? null,
    dateMade,
    parents,
    state,
    exclusionReason,
  };
}
