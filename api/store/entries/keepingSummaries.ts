import { type Kysely, sql } from "kysely";
import { DamagedEntry } from "#api/records/faults.ts";
import { computedChecksum, showStages } from "#api/store/database/lotList.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { lastEvent, lockRecord } from "#api/store/ledger/ledger.ts";
import { everyMaterial } from "#api/store/ledger/lotMarks.ts";
import { version as modelVersion } from "#api/version.ts";
import { type LotComputed, noTeachings, summariesOf, type Teachings } from "./summaries.ts";

/** Whose summaries are to be computed anew. */
interface Work {
  readonly lots: readonly number[];
  /** Whether something of the lots themselves changed; else only what they are compared with. */
  readonly isOwn: boolean;
}

/** What was done in one go. */
export interface Summarized {
  readonly lots: number;
  readonly isOwn: boolean;
}

export function makeSummaries(db: Kysely<Tables>) {
  let readAt = -1;
  let teachings: Teachings = noTeachings();
  return {
    /**
     * Computes anew what is missing or old: lots that changed themselves first, then those whose ground or band did,
     * the newest first. Never part of a request.
     *
     * @param most   lots in one go
     * @param pause  awaited between two lots, so that whoever asks something is answered
     * @returns      how many lots were gone through; 0 when nothing is old
     */
    async summarize(most: number, pause: () => Promise<void> = async () => {}): Promise<Summarized> {
      const event = await lastEvent(db);
      if (event !== readAt) teachings = noTeachings();
      readAt = event;
      const { lots, isOwn } = await toDo(db, most);
      const computed: (LotComputed | number)[] = [];
      for (const lot of lots) {
        computed.push((await computedOrNot(db, lot, event, teachings)) ?? lot);
        await pause();
      }
      if (lots.length > 0) await keep(db, event, computed);
      return { lots: lots.length, isOwn };
    },

    /** How many lots have a summary that is missing or old. */
    async oldSummaries(): Promise<number> {
      const { rows } = await sql<{ lots: number | string }>`select count(*) as lots from lot_list l
        left join ground_marks g on g.part = l.part
        left join ground_marks a on a.part = ${everyMaterial} where ${isOld}`.execute(db);
      return rows.reduce((sum, { lots }) => sum + Number(lots), 0);
    },
  };
}

/** Where lot_list is l, the mark of its material g and that of all a. */
export const isOld = sql<boolean>`(l.computed < l.touched or l.computed < coalesce(g.touched, 0)
  or l.computed < coalesce(a.touched, 0) or l.model <> ${modelVersion})`;

async function toDo(db: Kysely<Tables>, most: number): Promise<Work> {
  const own = await db
    .selectFrom("lot_list")
    .select("lot")
    .whereRef("computed", "<", "touched")
    .orderBy("day", "desc")
    .orderBy("lot", "desc")
    .limit(most)
    .execute();
  if (own.length > 0) return { lots: own.map(({ lot }) => lot), isOwn: true };
  const { rows } = await sql<{ lot: number }>`select l.lot from lot_list l
    left join ground_marks g on g.part = l.part
    left join ground_marks a on a.part = ${everyMaterial}
    where ${isOld} order by l.day desc, l.lot desc limit ${most}`.execute(db);
  return { lots: rows.map(({ lot }) => lot), isOwn: false };
}

/** Null where the lot is gone or damaged: then nothing is known of it, and it is not asked again. */
async function computedOrNot(
  db: Kysely<Tables>,
  lot: number,
  event: number,
  teachings: Teachings,
): Promise<LotComputed | null> {
  try {
    return await summariesOf(db, lot, event, teachings);
  } catch (fault) {
    if (fault instanceof DamagedEntry) return null;
    throw fault;
  }
}

/** What changed meanwhile was touched after this event, and so stays old. */
async function keep(
  db: Kysely<Tables>,
  event: number,
  computed: readonly (LotComputed | number)[],
): Promise<void> {
  await db.transaction().execute(async (tx) => {
    // Writers take the same rows; whoever has this one goes first.
    await lockRecord(tx);
    const shownNow: Parameters<typeof showStages>[1][number][] = [];
    for (const one of computed) {
      const lot = typeof one === "number" ? one : one.lotId;
      const { bandId: band = null, shown = null, stages = [] } = typeof one === "number" ? {} : one;
      for (const summary of stages) {
        const computedRow = {
          verdict: summary.verdict,
          chance: summary.chance?.value ?? null,
          d10_um: summary.d10Um?.value ?? null,
          d50_um: summary.d50Um?.value ?? null,
          d90_um: summary.d90Um?.value ?? null,
          area: summary.areaM2PerG?.value ?? null,
          bet: summary.betM2PerG?.value ?? null,
          summary: JSON.stringify(summary),
        };
        await tx
          .updateTable("lot_stages")
          .set({ ...computedRow, checksum: computedChecksum({ lot, stage: summary.stage, ...computedRow }) })
          .where("lot", "=", lot)
          .where("stage", "=", summary.stage)
          .execute();
      }
      shownNow.push({ lot, band, shown: shown ?? "", computed: event, model: modelVersion });
    }
    await showStages(tx, shownNow);
  });
}
