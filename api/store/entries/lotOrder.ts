import { type RawBuilder, sql } from "kysely";
import { z } from "zod";
import type { StageSummary } from "#api/contract/summaries.ts";
import { UnusableInput } from "#api/faults.ts";
import type { SavedLot } from "#api/records/records.ts";
import { plain } from "#api/store/ledger/eventWriter.ts";
import { folded } from "#model/lot/processSteps.ts";
import type { Stage } from "#model/lot/stages.ts";

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

/** A lot in its order, with what it is sorted by. */
export interface PlaceRow {
  readonly lot: number;
  readonly value: string | number | null;
}

/** What was computed: of the stage shown it stands in the list itself, of another it is looked up. */
export const columnsOf = (
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

export function filtersOf(asked: LotQuery, figures: RawBuilder<unknown>): RawBuilder<boolean>[] {
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
export function orderOf(
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

export function cursorOf({ value, lot }: PlaceRow): string {
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
