import type { EditableColumn } from "./editableTableCells.ts";
import type { EditableRow } from "./editableTableState.ts";

/** By which column the rows stand, and whether from its end. */
export interface RowOrder {
  readonly key: string;
  readonly down: boolean;
}

/** The rows in an order; what is empty stands last, whichever way. */
export function sorted(rows: readonly EditableRow[], { key, down }: RowOrder) {
  const rank = (a: EditableRow, b: EditableRow) => {
    const [x, y] = [a.cells[key] ?? null, b.cells[key] ?? null];
    if (x === null || y === null) return x === y ? 0 : x === null ? 1 : -1;
    const way = typeof x === "number" && typeof y === "number" ? x - y : String(x).localeCompare(String(y));
    return down ? -way : way;
  };
  return rows.toSorted(rank);
}

/** The headings with their units; a press sorts, a second turns the order, a third gives it up. */
export function Heading(props: {
  columns: readonly EditableColumn[];
  sort: { now: RowOrder | null; set: (to: RowOrder | null) => void } | null;
  after: string | undefined;
}) {
  const { columns, sort, after } = props;
  const now = sort?.now ?? null;
  const next = (key: string) =>
    now?.key !== key ? { key, down: false } : now.down ? null : { key, down: true };
  const orderOf = (key: string) => (now?.key !== key ? "none" : now.down ? "descending" : "ascending");
  return (
    <thead>
      <tr>
        {columns.map(({ key, label, unit, kind }) => (
          <th
            key={key}
            scope="col"
            class={kind === "number" ? "number" : ""}
            {...(sort === null ? {} : { "aria-sort": orderOf(key) })}
          >
            {sort === null ? (
              label
            ) : (
              <button type="button" class="editable-sort" onClick={() => sort.set(next(key))}>
                {label}
                {now?.key === key ? (now.down ? " ↓" : " ↑") : ""}
              </button>
            )}
            {unit !== "" && <span class="unit"> {unit}</span>}
          </th>
        ))}
        {after !== undefined && <th scope="col">{after}</th>}
      </tr>
    </thead>
  );
}
