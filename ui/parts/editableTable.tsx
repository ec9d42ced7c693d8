import type { ComponentChild } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import css from "./editableTable.css?inline";
import {
  asRowAbove,
  blockOf,
  blockText,
  cornersOf,
  type EditableColumn,
  filledDown,
  type GridCursor,
  pastedCells,
  placesIn,
  placesOf,
} from "./editableTableCells.ts";
import { Heading, type RowOrder, sorted } from "./editableTableHeading.tsx";
import { useGridKeys } from "./editableTableKeys.ts";
import { Row } from "./editableTableRow.tsx";
import {
  type EditableRow,
  type EditableTableProps,
  type EditedCells,
  useCells,
} from "./editableTableState.ts";
import { addStyles } from "./styles.ts";
import { Wide } from "./wide.tsx";

/**
 * A table that is edited in place: arrow keys, typing, a pasted block, fill down, undo. What is valid is saved at once;
 * what is not stays in its cell, marked, with what was expected. Copied out and pasted back nothing changes.
 */
export function EditableTable(
  props: EditableTableProps & {
    /** Says "as the last lot"; left out where nothing is carried over. */
    readonly asLast?: string;
    /** What stands behind the cells of a saved row. */
    readonly after?: (row: EditableRow) => ComponentChild;
    readonly afterHeading?: string;
    /** What may be done with the saved row under the cursor; stands beside the table's own buttons. */
    readonly deedsFor?: (row: EditableRow) => ComponentChild;
    readonly canSort?: boolean;
    /** Takes a pasted block that brings headings of its own. @returns whether it was taken */
    readonly onHeaded?: (text: string) => boolean;
  },
) {
  addStyles(css);
  const { name, columns, asLast, after, afterHeading = "", canSort = false, rowNoun = "row" } = props;
  const [sort, setSort] = useState<RowOrder | null>(null);
  const shown = sort === null ? props.rows : sorted(props.rows, sort);
  const cells = useCells(props, shown);
  const [cursor, setCursor] = useState<GridCursor>(home);
  const grid = useRef<HTMLTableElement>(null);
  const here = shown[cursor.at.row];
  const deeds = deedsOf(cells, columns, cursor);
  const places = placesOfColumns(columns, cells);
  const keys = useGridKeys({ cells, columns, cursor, setCursor, fillDown: deeds.fillDown });
  useFocusInside(grid, cursor);
  return (
    <div class="editable">
      <Wide name={name}>
        <table
          ref={grid}
          // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: a grid is a table that is edited
          role="grid"
          aria-label={name}
          onKeyDown={keys}
          onMouseDown={(event) => deeds.press(event, setCursor)}
          onDblClick={() => setCursor({ ...cursor, typing: cells.textAt(cursor.at) })}
          onCopy={deeds.copy}
          onPaste={(event) => {
            if (props.onHeaded?.(event.clipboardData?.getData("text/plain") ?? "") !== true) {
              deeds.paste(event);
              return;
            }
            event.preventDefault();
            event.stopPropagation();
          }}
        >
          <Heading
            columns={columns}
            sort={canSort ? { now: sort, set: setSort } : null}
            after={after && afterHeading}
          />
          <tbody>
            {cells.rows.map((row, r) => (
              <Row key={row.id} {...{ row, r, columns, cells, places, cursor, setCursor }}>
                {after !== undefined && (
                  <td class="editable-after">{props.rows.includes(row) && after(row)}</td>
                )}
              </Row>
            ))}
          </tbody>
        </table>
      </Wide>
      <Faults cells={cells} />
      <Tools
        cells={cells}
        fillDown={deeds.fillDown}
        asAbove={asLast === undefined ? null : { say: asLast, run: deeds.asAbove }}
        rowNoun={rowNoun}
      >
        {here !== undefined && props.deedsFor?.(here)}
      </Tools>
    </div>
  );
}

/** What may be done with the table as a whole. */
function Tools(props: {
  cells: EditedCells;
  fillDown: () => void;
  asAbove: { readonly say: string; readonly run: () => void } | null;
  rowNoun: string;
  children: ComponentChild;
}) {
  const { cells, fillDown, asAbove, rowNoun, children } = props;
  return (
    <p class="editable-tools">
      <button type="button" class="small" onClick={fillDown}>
        Fill down
      </button>
      {asAbove !== null && (
        <button type="button" class="small" onClick={asAbove.run}>
          {asAbove.say}
        </button>
      )}
      <button type="button" class="small" onClick={() => void cells.undo()}>
        Undo in this table
      </button>
      {children}
      {cells.newCount > 0 && (
        <>
          <button type="button" class="main" disabled={!cells.canAdd} onClick={() => void cells.add()}>
            Save {cells.newCount === 1 ? `the new ${rowNoun}` : `${cells.newCount} new ${rowNoun}s`}
          </button>
          <button type="button" class="small" onClick={cells.clearNew}>
            Cancel
          </button>
        </>
      )}
      <span class="quiet">
        Arrow keys move, Enter or typing edits, paste a block from a spreadsheet, Ctrl D fills down.
      </span>
    </p>
  );
}

const home: GridCursor = { at: { row: 0, column: 0 }, corner: { row: 0, column: 0 }, typing: null };

/** The cell under the cursor has the focus wherever the grid has it. */
function useFocusInside(grid: { current: HTMLTableElement | null }, { at, typing }: GridCursor): void {
  const wasTyping = useRef(false);
  useLayoutEffect(() => {
    const table = grid.current;
    const { activeElement } = document;
    // A field that went away with its text taken leaves the focus to nobody.
    const isOurs =
      table?.contains(activeElement) === true || (wasTyping.current && activeElement === document.body);
    wasTyping.current = typing !== null;
    if (table === null || !isOurs) return;
    const cell = table.querySelector<HTMLElement>(`[data-r="${at.row}"][data-c="${at.column}"]`);
    (cell?.querySelector("input") ?? cell)?.focus();
  }, [at.row, at.column, typing === null]);
}

/** What is done with what is selected. */
function deedsOf(cells: EditedCells, columns: readonly EditableColumn[], { at, corner, typing }: GridCursor) {
  const { from, to } = cornersOf(at, corner);
  return {
    fillDown: () => cells.put(filledDown(at, corner, cells.textAt)),
    asAbove: () => cells.put(asRowAbove(at.row, columns, cells.textAt)),
    copy: (event: ClipboardEvent) => {
      if (typing !== null) return;
      event.preventDefault();
      event.stopPropagation();
      const width = to.column - from.column + 1;
      const texts = placesIn(at, corner).map(cells.textAt);
      const rows = Array.from({ length: to.row - from.row + 1 }, (_, i) =>
        texts.slice(i * width, (i + 1) * width),
      );
      event.clipboardData?.setData("text/plain", blockText(rows));
    },
    paste: (event: ClipboardEvent) => {
      if (typing !== null) return;
      event.preventDefault();
      event.stopPropagation();
      cells.put(pastedCells(blockOf(event.clipboardData?.getData("text/plain") ?? ""), at, corner));
    },
    press: (event: MouseEvent, setCursor: (to: GridCursor) => void) => {
      const pressed = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-c]") : null;
      if (pressed === null || event.target instanceof HTMLInputElement) return;
      const place = { row: Number(pressed.dataset["r"]), column: Number(pressed.dataset["c"]) };
      if (event.shiftKey) event.preventDefault();
      setCursor(
        event.shiftKey ? { at, corner: place, typing: null } : { at: place, corner: place, typing: null },
      );
    },
  };
}

/** Cells that cannot be saved as they are, and what was expected there. */
function Faults({ cells }: { cells: EditedCells }) {
  const { faults, notice } = cells;
  const most = 5;
  return (
    <div role="status" class="problem">
      {notice !== "" && <p>{notice}</p>}
      {faults.slice(0, most).map(({ rowName, column, text, expected }) => (
        <p key={`${rowName} ${column.key}`}>
          {column.label} of {rowName} is {text === "" ? "empty" : `“${text}”`}; expected {expected}
          {expected.endsWith(".") ? "" : "."}
        </p>
      ))}
      {faults.length > most && <p>{faults.length - most} more cells are marked.</p>}
    </div>
  );
}

/** How many digits each column has at most behind its decimal mark. */
function placesOfColumns(columns: readonly EditableColumn[], cells: EditedCells): number[] {
  return columns.map((column) =>
    Math.max(
      0,
      ...cells.rows.map((row) => {
        const value = cells.valueAt(row, column.key);
        return typeof value === "number" ? placesOf((column.show ?? String)(value)) : 0;
      }),
    ),
  );
}
