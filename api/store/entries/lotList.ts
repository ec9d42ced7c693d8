import { type Kysely, type RawBuilder, sql } from "kysely";
import { z } from "zod";
import { keptSummary, type StageSummary } from "#api/contract/summaries.ts";
import { UnusableInput } from "#api/faults.ts";
import type { SavedLot } from "#api/records/records.ts";
import { parsed } from "#api/records/stored.ts";
import { computedChecksum } from "#api/store/database/lotList.ts";
import type { Tables } from "#api/store/database/tables.ts";
import { plain } from "#api/store/ledger/eventWriter.ts";
import { everyMaterial } from "#api/store/ledger/lotMarks.ts";
import { folded } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";
import { isOld } from "./keepingSummaries.ts";

/** What a list can be sorted by: what is told of a lot, and what was computed of the stage shown. */
type LotSort = "day" | "name" | "verdict" | "chance" | "d10" | "d50" | "d90" | "area" | "bet";

/** What of the list is wanted. */
export interface LotQuery {
  /** Words that all must occur in name, material or note. */
  readonly search?: string;
  /** Only those of this material. */
  readonly material?: string;
  readonly state?: SavedLot["state"]["name"];
  /** Whose summary is shown, sorted and filtered by; the band's stage, else the furthest of each lot, if not said. */
  readonly stage?: Stage;
  readonly verdict?: NonNullable<StageSummary["verdict"]>;
  readonly chanceFrom?: number;
  readonly chanceTo?: number;
  readonly d50FromUm?: number;
  readonly d50ToUm?: number;
  readonly betFrom?: number;
  readonly betTo?: number;
  /** Days as 2026-11-30. */
  readonly madeFrom?: string;
  readonly madeTo?: string;
  readonly offset?: number;
  readonly limit?: number;
  /** As they were saved, or those saved last first. */
  readonly order?: "saved" | "newest";
  /** Wins over order. Lots of which it is not known stand last. */
  readonly sort?: LotSort;
  /** By name ascending if not said, else descending. */
  readonly direction?: "ascending" | "descending";
  /** Where the page before ended, as it was answered. */
  readonly cursor?: string;
}

/** A line of the list. */
interface FoundLot {
  readonly lot: number;
  readonly summary: StageSummary | null;
}

interface FoundRow extends Omit<Tables["lot_stages"], "part" | "day" | "runs"> {
  readonly stale: boolean | number;
}

interface PlaceRow {
  readonly lot: number;
  readonly value: string | number | null;
}

const columns: Readonly<Record<LotSort, RawBuilder<string | number | null>>> = {
  day: sql`l.day`,
  name: sql`l.name`,
  verdict: sql`case s.verdict when 'in band' then 4 when 'on the edge' then 3 when 'out of band' then 2 when 'too few runs' then 1 end`,
  chance: sql`s.chance`,
  d10: sql`s.d10_um`,
  d50: sql`s.d50_um`,
  d90: sql`s.d90_um`,
  area: sql`s.area`,
  bet: sql`s.bet`,
};
/** Of every lot something is known. */
const neverMissing: readonly LotSort[] = ["day", "name"];

/** The lots that are asked for, how many there are in all of them, and where the next page begins; null at the end. */
export async function listedLots(
  db: Kysely<Tables>,
  asked: LotQuery,
): Promise<{ readonly found: readonly FoundLot[]; readonly total: number; readonly next: string | null }> {
  const stage = asked.stage === undefined ? sql`l.shown` : sql`${asked.stage}`;
  const listed = sql`from lot_list l left join lot_stages s on s.lot = l.lot and s.stage = ${stage}`;
  const filters = filtersOf(asked);
  const { value, order, after } = orderOf(asked);
  const { limit, offset = 0 } = asked;
  const page = limit === undefined ? sql`` : sql`limit ${limit + 1} offset ${offset}`;
  // First which lots, by narrow columns alone; what was computed of them is read of those that are shown.
  const { rows } = await sql<PlaceRow>`select l.lot, ${value} as value ${listed}
    where ${all([...filters, ...after])} order by ${order} ${page}`.execute(db);
  const shown = limit === undefined ? rows : rows.slice(0, limit);
  const last = shown.at(-1);
  const isMore = last !== undefined && shown.length < rows.length;
  const lots = limit === undefined ? null : shown.map(({ lot }) => lot);
  const summaries = await summariesAt(db, listed, lots);
  return {
    found: shown.map(({ lot }) => ({ lot, summary: summaries.get(lot) ?? null })),
    total: limit === undefined ? rows.length : await countOf(db, listed, filters),
    next: isMore ? cursorOf(last) : null,
  };
}

/** What was computed of these lots at the stage they are listed at. @param lots  null for all */
async function summariesAt(
  db: Kysely<Tables>,
  listed: RawBuilder<unknown>,
  lots: readonly number[] | null,
): Promise<ReadonlyMap<number, StageSummary | null>> {
  if (lots?.length === 0) return new Map();
  const these = lots === null ? sql`` : sql`and l.lot in (${sql.join([...lots])})`;
  const { rows } = await sql<FoundRow>`select ${computedColumns}, ${isOld} as stale ${listed}
    left join ground_marks g on g.part = l.part left join ground_marks a on a.part = ${everyMaterial}
    where s.summary is not null ${these}`.execute(db);
  return new Map(rows.map((row) => [row.lot, summaryIn(row)]));
}

async function countOf(
  db: Kysely<Tables>,
  from: RawBuilder<unknown>,
  filters: readonly RawBuilder<boolean>[],
): Promise<number> {
  const { rows } = await sql<{
    lots: number | string;
  }>`select count(*) as lots ${from} where ${all(filters)}`.execute(db);
  return rows.reduce((sum, { lots }) => sum + Number(lots), 0);
}

function all(conditions: readonly RawBuilder<boolean>[]): RawBuilder<boolean> {
  return conditions.length === 0 ? sql`true` : sql`${sql.join([...conditions], sql` and `)}`;
}

function filtersOf(asked: LotQuery): RawBuilder<boolean>[] {
  const words = (asked.search ?? "").toLowerCase().split(/\s+/);
  const atLeast = (column: RawBuilder<unknown>, value: number | string | undefined) =>
    value === undefined ? [] : [sql<boolean>`${column} >= ${value}`];
  const atMost = (column: RawBuilder<unknown>, value: number | string | undefined) =>
    value === undefined ? [] : [sql<boolean>`${column} <= ${value}`];
  return [
    ...words
      .filter((word) => word !== "")
      .map((word) => sql<boolean>`l.words like ${`%${word.replace(/[\\%_]/g, "\\$&")}%`} escape '\\'`),
    ...(asked.material === undefined ? [] : [sql<boolean>`l.part = ${plain(folded(asked.material))}`]),
    ...(asked.state === undefined ? [] : [sql<boolean>`l.state = ${asked.state}`]),
    ...(asked.verdict === undefined ? [] : [sql<boolean>`s.verdict = ${asked.verdict}`]),
    ...atLeast(sql`s.chance`, asked.chanceFrom),
    ...atMost(sql`s.chance`, asked.chanceTo),
    ...atLeast(sql`s.d50_um`, asked.d50FromUm),
    ...atMost(sql`s.d50_um`, asked.d50ToUm),
    ...atLeast(sql`s.bet`, asked.betFrom),
    ...atMost(sql`s.bet`, asked.betTo),
    ...atLeast(sql`l.day`, asked.madeFrom),
    // A day that holds a time of day is later than the day alone.
    ...atMost(sql`l.day`, asked.madeTo === undefined ? undefined : `${asked.madeTo}~`),
  ];
}

/** How the list is ordered, the column a cursor holds, and the condition that leaves out what came before it. */
function orderOf({ sort, direction, order, cursor }: LotQuery): {
  readonly value: RawBuilder<string | number | null>;
  readonly order: RawBuilder<unknown>;
  readonly after: readonly RawBuilder<boolean>[];
} {
  const place = cursor === undefined ? null : placeIn(cursor);
  if (sort === undefined) {
    const isDown = order === "newest";
    const passed = (lot: number) => (isDown ? sql<boolean>`l.lot < ${lot}` : sql<boolean>`l.lot > ${lot}`);
    return {
      value: sql`null`,
      order: isDown ? sql`l.lot desc` : sql`l.lot asc`,
      after: place === null ? [] : [passed(place.lot)],
    };
  }
  const isDown = (direction ?? (sort === "name" ? "ascending" : "descending")) === "descending";
  const column = columns[sort];
  const way = isDown ? sql`desc` : sql`asc`;
  const beyond = isDown ? sql`<` : sql`>`;
  const inOrder = sql`${column} ${way}, l.lot ${way}`;
  const isNever = neverMissing.includes(sort);
  return {
    value: column,
    order: isNever ? inOrder : sql`case when ${column} is null then 1 else 0 end, ${inOrder}`,
    after: place === null ? [] : [afterPlace(place, { column, beyond, isNever })],
  };
}

function afterPlace(
  { value, lot }: Place,
  how: {
    readonly column: RawBuilder<string | number | null>;
    readonly beyond: RawBuilder<unknown>;
    readonly isNever: boolean;
  },
): RawBuilder<boolean> {
  const { column, beyond, isNever } = how;
  if (value === null) return sql`(${column} is null and l.lot ${beyond} ${lot})`;
  const within = sql<boolean>`${column} ${beyond} ${value} or (${column} = ${value} and l.lot ${beyond} ${lot})`;
  return isNever ? sql`(${within})` : sql`(${within} or ${column} is null)`;
}

const place = z.object({ value: z.union([z.string(), z.number(), z.null()]), lot: z.number().int() });
type Place = z.output<typeof place>;

function cursorOf({ value, lot }: PlaceRow): string {
  return Buffer.from(JSON.stringify({ value, lot })).toString("base64url");
}

function placeIn(cursor: string): Place {
  try {
    return place.parse(JSON.parse(Buffer.from(cursor, "base64url").toString()));
  } catch {
    throw new UnusableInput(
      "The cursor is none that was answered with a page. Ask for the first page without one.",
      cursor,
      "next, as the page before was answered with it",
    );
  }
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
