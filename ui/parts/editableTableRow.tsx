import type { ComponentChild } from "preact";
import { cornersOf, type EditableColumn, type GridCursor, placesOf } from "./editableTableCells.ts";
import { type EditableRow, type EditedCells, isNewRow } from "./editableTableState.ts";

interface RowProps {
  row: EditableRow;
  r: number;
  columns: readonly EditableColumn[];
  cells: EditedCells;
  /** How many digits each column has at most behind its decimal mark. */
  places: readonly number[];
  cursor: GridCursor;
  setCursor: (to: GridCursor) => void;
  children: ComponentChild;
}

/** As much room as the digits take that other numbers of the column have behind the decimal mark, so that all marks align. */
function Behind({ text, places = 0 }: { text: string; places: number | undefined }) {
  const own = placesOf(text);
  const room = `${own === 0 && places > 0 ? "." : ""}${"0".repeat(Math.max(places - own, 0))}`;
  return room === "" ? null : <span class="behind" aria-hidden="true" data-room={room} />;
}

/** A row of cells; the one under the cursor takes what is typed. */
export function Row({ row, r, columns, cells, places, cursor, setCursor, children }: RowProps) {
  const { from, to } = cornersOf(cursor.at, cursor.corner);
  const isNew = isNewRow(row);
  const isIn = (c: number) => r >= from.row && r <= to.row && c >= from.column && c <= to.column;
  return (
    <tr>
      {columns.map((column, c) => {
        const fault = cells.faultIn(row, column);
        const isHere = cursor.at.row === r && cursor.at.column === c;
        const value = cells.valueAt(row, column.key);
        const text = cells.textIn(row, column);
        const short = fault === null && typeof value === "number" ? (column.show ?? String)(value) : null;
        return (
          <td
            key={column.key}
            // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: as the table, so its cells
            role="gridcell"
            data-r={r}
            data-c={c}
            tabIndex={isHere ? 0 : -1}
            class={`${column.kind === "number" ? "number" : ""}${column.isFixed === true ? " fixed" : ""}`}
            aria-label={`${column.label} of ${row.name}: ${(short ?? text) || "empty"}`}
            {...(isIn(c) ? { "aria-selected": true } : {})}
            {...(column.isFixed === true ? { "aria-readonly": true } : {})}
            {...(fault === null ? {} : { "aria-invalid": true, title: `Expected ${fault}` })}
          >
            {isHere && cursor.typing !== null && column.isFixed !== true ? (
              <input
                class="editable-entry"
                aria-label={`${column.label} of ${row.name}`}
                value={cursor.typing}
                size={Math.max(cursor.typing.length, 4)}
                onInput={(event) => setCursor({ ...cursor, typing: event.currentTarget.value })}
                onBlur={(event) => {
                  if (event.currentTarget.dataset["finished"] !== undefined) return;
                  cells.put([{ row: r, column: c, text: event.currentTarget.value }]);
                  setCursor({ ...cursor, typing: null });
                }}
              />
            ) : text === "" && c === 0 && isNew ? (
              <span class="unit">{row.name}</span>
            ) : (
              <>
                {short ?? text}
                {short !== null && <Behind text={short} places={places[c]} />}
              </>
            )}
          </td>
        );
      })}
      {children}
    </tr>
  );
}
