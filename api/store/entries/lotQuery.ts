import { type Kysely, type RawBuilder, sql } from "kysely";
import { keptSummary, type StageSummary } from "#api/contract/summaries.ts";
import { parsed } from "#api/records/stored.ts";
import { computedChecksum, isShownSound } from "#api/store/database/lotList.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { everyMaterial } from "#api/store/ledger/lotMarks.ts";
import type { Stage } from "#model/lot/stages.ts";
import { isOld } from "./keepingSummaries.ts";
import { columnsOf, cursorOf, filtersOf, type LotQuery, orderOf, type PlaceRow } from "./lotOrder.ts";

/** A line of the list. */
interface FoundLot {
  readonly lot: number;
  readonly summary: StageSummary | null;
}

interface FoundRow extends Omit<Tables["lot_stages"], "part" | "day" | "runs"> {
  readonly stale: boolean | number;
}

/**
 * The lots that are asked for, how many there are in all of them, and where the next page begins; null at the end; and
 * which of them are listed by figures that are damaged.
 */
export async function listedLots(
  db: Kysely<Tables>,
  asked: LotQuery,
): Promise<{
  readonly found: readonly FoundLot[];
  readonly total: number;
  readonly next: string | null;
  readonly damaged: readonly number[];
}> {
  const { stage, limit } = asked;
  const figures = stage === undefined ? sql`l` : sql`s`;
  const listed =
    stage === undefined
      ? sql`from lot_list l`
      : sql`from lot_list l left join lot_stages s on s.lot = l.lot and s.stage = ${stage}`;
  const filters = filtersOf(asked, figures);
  const { value, order, knownOrder, parts } = orderOf(asked, columnsOf(figures), figures);
  // First which lots, by narrow columns alone; what was computed of them is read of those that are shown.
  const rows: PlaceRow[] = [];
  let skipped = asked.offset ?? 0;
  for (const [i, part] of parts.entries()) {
    if (limit !== undefined && rows.length > limit) break;
    // Lots of which the figure is known begin with the figures, in the order of their index.
    const from = stage !== undefined && part.isKnown ? ofStage(stage) : listed;
    const where = sql`${from} where ${all([...filters, ...part.conditions])}`;
    const page = limit === undefined ? sql`` : sql`limit ${limit + 1 - rows.length} offset ${skipped}`;
    const found =
      await sql<PlaceRow>`select l.lot, ${value} as value ${where} order by ${part.isKnown ? knownOrder : order} ${page}`.execute(
        db,
      );
    rows.push(...found.rows);
    if (found.rows.length > 0) skipped = 0;
    else if (skipped > 0 && i + 1 < parts.length) skipped -= Math.min(skipped, await countOf(db, where));
  }
  const shown = limit === undefined ? rows : rows.slice(0, limit);
  const last = shown.at(-1);
  const isMore = last !== undefined && shown.length < rows.length;
  const lots = limit === undefined ? null : shown.map(({ lot }) => lot);
  const summaries = await summariesAt(db, stage, lots);
  const damaged = await damagedLines(db, lots);
  return {
    found: shown.map(({ lot }) => ({ lot, summary: asAsked(summaries.get(lot) ?? null, asked) })),
    total: limit === undefined ? rows.length : await countOf(db, sql`${listed} where ${all(filters)}`),
    next: isMore ? cursorOf(last) : null,
    damaged,
  };
}

const ofStage = (stage: Stage) =>
  sql`from lot_stages s join lot_list l on l.lot = s.lot and s.stage = ${stage}`;

function asAsked(summary: StageSummary | null, asked: LotQuery): StageSummary | null {
  if (summary === null || asked.with === "standing") return summary;
  const { standing: _, ...figures } = summary;
  return figures;
}

/** Of which of these lots the list does not say what was written of them. @param lots  null for all */
async function damagedLines(db: Kysely<Tables>, lots: readonly number[] | null): Promise<readonly number[]> {
  if (lots?.length === 0) return [];
  let query = db
    .selectFrom("lot_list")
    .leftJoin("lot_stages as s", (join) =>
      join.onRef("s.lot", "=", "lot_list.lot").onRef("s.stage", "=", "lot_list.shown"),
    );
  if (lots !== null) query = query.where("lot_list.lot", "in", [...lots]);
  // One question for both: a lot that is shown by a stage must have it.
  const rows = await query.selectAll("lot_list").select("s.stage").execute();
  return rows
    .filter((row) => !isShownSound(row) || (row.shown !== "" && row.stage === null))
    .map(({ lot }) => lot);
}

/** What was computed of these lots at the stage they are listed at. @param lots  null for all */
async function summariesAt(
  db: Kysely<Tables>,
  stage: Stage | undefined,
  lots: readonly number[] | null,
): Promise<ReadonlyMap<number, StageSummary | null>> {
  if (lots?.length === 0) return new Map();
  const these = lots === null ? sql`` : sql`and l.lot in (${sql.join([...lots])})`;
  const { rows } = await sql<FoundRow>`select ${computedColumns}, ${isOld} as stale from lot_list l
    join lot_stages s on s.lot = l.lot and s.stage = ${stage === undefined ? sql`l.shown` : stage}
    left join ground_marks g on g.part = l.part left join ground_marks a on a.part = ${everyMaterial}
    where s.summary is not null ${these}`.execute(db);
  return new Map(rows.map((row) => [row.lot, summaryIn(row)]));
}

async function countOf(db: Kysely<Tables>, what: RawBuilder<unknown>): Promise<number> {
  const { rows } = await sql<{ lots: number | string }>`select count(*) as lots ${what}`.execute(db);
  return rows.reduce((sum, { lots }) => sum + Number(lots), 0);
}

function all(conditions: readonly RawBuilder<boolean>[]): RawBuilder<boolean> {
  return conditions.length === 0 ? sql`true` : sql`${sql.join([...conditions], sql` and `)}`;
}

const computedColumns = sql`l.lot, s.stage, s.verdict, s.chance, s.d10_um, s.d50_um, s.d90_um, s.area, s.bet, s.summary, s.checksum`;

/** What was computed; null where nothing was, or where it is damaged. */
function summaryIn(row: FoundRow): StageSummary | null {
  if (row.summary === null || computedChecksum(row) !== row.checksum) return null;
  const found = keptSummary.safeParse(parsed(row.summary));
  return found.success ? { ...found.data, stale: Boolean(row.stale) } : null;
}

/** What was computed of each stage of a lot. */
export async function summariesOfLot(db: Kysely<Tables>, lotId: number): Promise<StageSummary[]> {
  const { rows } = await sql<FoundRow>`select ${computedColumns}, ${isOld} as stale
    from lot_list l join lot_stages s on s.lot = l.lot left join ground_marks g on g.part = l.part
    left join ground_marks a on a.part = ${everyMaterial} where l.lot = ${lotId} order by s.stage`.execute(
    db,
  );
  return rows.flatMap((row) => summaryIn(row) ?? []);
}
