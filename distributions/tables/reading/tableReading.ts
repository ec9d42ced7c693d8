import type { Block, Cell, Series } from "#distributions/tables/layout/block.ts";
import type { Guess } from "./guess.ts";

/** What one column (or row) of a table was taken for. */
export interface ListReading {
  /** Counted from 1 as received; a table in rows has rows, one in columns or long form columns. */
  readonly place: { readonly row: number | null; readonly column: number | null };
  readonly heading: string;
  /** In words, such as "sizes, upper edges", "shares of run 2", "left out: the mean". */
  readonly role: string;
  readonly kind: "sizes" | "measurement" | "left out";
}

/** How one table was read: which list is what, and on what evidence each thing was decided. */
export interface TableReading {
  readonly sheet?: string;
  readonly layout: "columns" | "rows" | "long";
  readonly firstRow: number | null;
  readonly lastRow: number | null;
  readonly lists: readonly ListReading[];
  readonly decided: readonly Guess[];
}

/** The lists that hold the sizes. */
function sizeLists(
  sizes: readonly (readonly Cell[])[],
  layout: TableReading["layout"],
  heading: string,
  edge: string | null,
): ListReading[] {
  const places = new Set<number>();
  return sizes.flatMap((list, i): ListReading[] => {
    const [cell] = list;
    const at = layout === "rows" ? cell?.row : cell?.column;
    if (at === undefined || places.has(at)) return [];
    places.add(at);
    const side =
      sizes.length === 2
        ? i === 0
          ? ", lower edges"
          : ", upper edges"
        : edge === null
          ? ""
          : `, ${edgeWords[edge] ?? edge}`;
    return [
      {
        place: layout === "rows" ? { row: at, column: null } : { row: null, column: at },
        heading,
        role: `sizes${isOneCell(sizes, at, layout) ? ", lower and upper edges" : side}`,
        kind: "sizes",
      },
    ];
  });
}

function isOneCell(sizes: readonly (readonly Cell[])[], at: number, layout: TableReading["layout"]): boolean {
  return sizes.length === 2 && sizes.every(([cell]) => (layout === "rows" ? cell?.row : cell?.column) === at);
}

const edgeWords: Readonly<Record<string, string>> = {
  upper: "upper edges",
  lower: "lower edges",
  both: "both edges",
  "geometric-mid": "geometric mids",
  "arithmetic-mid": "arithmetic mids",
};

function seriesList(one: Series, role: string, kind: ListReading["kind"]): ListReading {
  return { place: one.at, heading: one.heading, role, kind };
}

/** The first and the last row that a table's cells stand in. */
function rowsOf(cells: readonly Pick<Cell, "row">[]): Pick<TableReading, "firstRow" | "lastRow"> {
  if (cells.length === 0) return { firstRow: null, lastRow: null };
  const rows = cells.map(({ row }) => row);
  return { firstRow: rows.reduce((a, b) => Math.min(a, b)), lastRow: rows.reduce((a, b) => Math.max(a, b)) };
}

function lastRowOf(one: Series): readonly Pick<Cell, "row">[] {
  return one.numbers === undefined ? one.cells.slice(-1) : [{ row: one.numbers.lastRow }];
}

/** A table's reading as lines of text: the table, each list with its role, each decision with its evidence. */
export function explained(table: TableReading): string[] {
  const where = table.sheet === undefined ? "" : ` of the sheet "${table.sheet}"`;
  const rows = table.firstRow === null ? "" : `, rows ${table.firstRow} to ${table.lastRow}`;
  const placeOf = ({ place, heading }: ListReading) =>
    `${place.column === null ? `row ${place.row}` : `column ${place.column}`}${heading === "" ? "" : ` "${heading}"`}`;
  const names = table.lists.map(placeOf);
  const width = Math.min(48, Math.max(0, ...names.map((name) => name.length)));
  return [
    `Table${where}${rows}:`,
    ...table.lists.map((list, i) => `  ${(names[i] ?? "").padEnd(width)}  ${list.role}`),
    ...table.decided.map(
      ({ option, value, source, evidence }) =>
        `  ${option} ${value}: ${evidence}${source === "assumed" ? " (assumed)" : ""}`,
    ),
  ];
}

/** What each list of a block was taken for, in the order of the table. */
export function tableReading(
  block: Block,
  read: readonly Series[],
  left: ReadonlyMap<Series, string>,
  decided: readonly Guess[],
): TableReading {
  const edge = decided.find((guess) => guess.option === "edge")?.value ?? null;
  const isRead = new Set(read);
  const series = block.series.map((one) => {
    const what = left.get(one);
    return what === undefined && isRead.has(one)
      ? seriesList(one, one.heading === "" ? "a measurement" : `measurement "${one.heading}"`, "measurement")
      : seriesList(one, `left out: ${what ?? "no measurement"}`, "left out");
  });
  const lists = [...sizeLists(block.sizes, block.layout, block.sizeHeading, edge), ...series];
  const at = ({ place }: (typeof lists)[number]) => place.column ?? place.row ?? 0;
  return {
    layout: block.layout,
    ...rowsOf([...(block.sizes[0] ?? []), ...block.series.flatMap(lastRowOf)]),
    lists: lists.toSorted((a, b) => at(a) - at(b)),
    decided,
  };
}
