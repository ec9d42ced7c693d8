import { type Kysely, type RawBuilder, sql } from "kysely";
import { z } from "zod";
import { keptSummary, type StageSummary } from "#api/contract/summaries.ts";
import { UnusableInput } from "#api/faults.ts";
import type { SavedLot } from "#api/records/records.ts";
import { parsed } from "#api/records/stored.ts";
import { computedChecksum, isShownSound } from "#api/store/database/lotList.ts";
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
  /** Whether how each lot stands by each limit is wanted too. */
  readonly with?: "standing";
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

/** What was computed: of the stage shown it stands in the list itself, of another it is looked up. */
const columnsOf = (
  figures: RawBuilder<unknown>,
): Readonly<Record<LotSort, RawBuilder<string | number | null>>> => ({
  day: sql`l.day`,
  name: sql`l.name`,
  verdict: sql`case ${figures}.verdict when 'in band' then 4 when 'on the edge' then 3 when 'out of band' then 2 when 'too few runs' then 1 end`,
  chance: sql`${figures}.chance`,
  d10: sql`${figures}.d10_um`,
  d50: sql`${figures}.d50_um`,
  d90: sql`${figures}.d90_um`,
  area: sql`${figures}.area`,
  bet: sql`${figures}.bet`,
});
/** Of every lot something is known. */
const neverMissing: readonly LotSort[] = ["day", "name"];

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
  let query = db.selectFrom("lot_list").selectAll();
  if (lots !== null) query = query.where("lot", "in", [...lots]);
  return (await query.execute()).filter((row) => !isShownSound(row)).map(({ lot }) => lot);
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

function filtersOf(asked: LotQuery, figures: RawBuilder<unknown>): RawBuilder<boolean>[] {
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
    ...(asked.verdict === undefined ? [] : [sql<boolean>`${figures}.verdict = ${asked.verdict}`]),
    ...atLeast(sql`${figures}.chance`, asked.chanceFrom),
    ...atMost(sql`${figures}.chance`, asked.chanceTo),
    ...atLeast(sql`${figures}.d50_um`, asked.d50FromUm),
    ...atMost(sql`${figures}.d50_um`, asked.d50ToUm),
    ...atLeast(sql`${figures}.bet`, asked.betFrom),
    ...atMost(sql`${figures}.bet`, asked.betTo),
    ...atLeast(sql`l.day`, asked.madeFrom),
    // A day that holds a time of day is later than the day alone.
    ...atMost(sql`l.day`, asked.madeTo === undefined ? undefined : `${asked.madeTo}~`),
  ];
}

interface ListPart {
  readonly conditions: readonly RawBuilder<boolean>[];
  /** Whether the figure sorted by is known of all of them. */
  readonly isKnown: boolean;
}

/**
 * How the list is ordered, the column a cursor holds, and the parts that the list is in, one after the other: the lots of
 * which the figure is known, then those of which it is not. Each is the conditions that leave out what is in another or
 * came before the cursor.
 */
function orderOf(
  { sort, direction, order, cursor }: LotQuery,
  columns: ReturnType<typeof columnsOf>,
  figures: RawBuilder<unknown>,
): {
  readonly value: RawBuilder<string | number | null>;
  readonly order: RawBuilder<unknown>;
  /** The same, by the lots of the figures, so that one index has both. */
  readonly knownOrder: RawBuilder<unknown>;
  readonly parts: readonly ListPart[];
} {
  const place = cursor === undefined ? null : placeIn(cursor);
  const usual = sort === "name" || (sort === undefined && order !== "newest") ? "ascending" : "descending";
  const isDown = (sort === undefined ? usual : (direction ?? usual)) === "descending";
  const way = isDown ? sql`desc` : sql`asc`;
  const beyond = isDown ? sql`<` : sql`>`;
  const lotsAfter = (lot: number) => sql<boolean>`l.lot ${beyond} ${lot}`;
  if (sort === undefined)
    return {
      value: sql`null`,
      order: sql`l.lot ${way}`,
      knownOrder: sql`l.lot ${way}`,
      parts: [{ conditions: place === null ? [] : [lotsAfter(place.lot)], isKnown: false }],
    };
  const column = columns[sort];
  const inOrder = {
    value: column,
    order: sql`${column} ${way}, l.lot ${way}`,
    knownOrder: sql`${column} ${way}, ${figures}.lot ${way}`,
  };
  const unknown = sql<boolean>`${column} is null`;
  if (place !== null && place.value === null)
    return { ...inOrder, parts: [{ conditions: [unknown, lotsAfter(place.lot)], isKnown: false }] };
  const after =
    place === null
      ? []
      : [
          sql<boolean>`(${column} ${beyond} ${place.value} or (${column} = ${place.value} and ${lotsAfter(place.lot)}))`,
        ];
  if (neverMissing.includes(sort)) return { ...inOrder, parts: [{ conditions: after, isKnown: false }] };
  return {
    ...inOrder,
    parts: [
      {
        conditions: [sql<boolean>`${column} is not null`, ...after],
        isKnown: true,
      },
      { conditions: [unknown], isKnown: false },
    ],
  };
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
