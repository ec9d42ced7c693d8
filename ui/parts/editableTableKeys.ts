import type { CellPlace, EditableColumn, GridCursor } from "./editableTableCells.ts";
import { placesIn } from "./editableTableCells.ts";
import type { EditedCells } from "./editableTableState.ts";

const steps: Readonly<Record<string, readonly [down: number, right: number]>> = {
  ArrowUp: [-1, 0],
  ArrowDown: [1, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
  Home: [0, Number.NEGATIVE_INFINITY],
  End: [0, Number.POSITIVE_INFINITY],
  PageUp: [-10, 0],
  PageDown: [10, 0],
};

interface Grid {
  readonly cells: EditedCells;
  readonly columns: readonly EditableColumn[];
  readonly cursor: GridCursor;
  readonly setCursor: (to: GridCursor) => void;
  readonly fillDown: () => void;
}

/** What a key does in an editable table; other keys go on to the page. */
export function useGridKeys(grid: Grid): (event: KeyboardEvent) => void {
  return (event) => {
    if (event.target instanceof HTMLElement && event.target.closest("[data-c]") === null) return;
    const isTaken = grid.cursor.typing === null ? keyWhileMoving(grid, event) : keyWhileTyping(grid, event);
    if (!isTaken) return;
    event.preventDefault();
    event.stopPropagation();
  };
}

function moved(
  { cells, columns }: Grid,
  from: CellPlace,
  [down, right]: readonly [number, number],
): CellPlace {
  const within = (value: number, count: number) => Math.min(Math.max(value, 0), count - 1);
  return {
    row: within(from.row + down, cells.rows.length),
    column: within(from.column + right, columns.length),
  };
}

function goTo(grid: Grid, place: CellPlace): void {
  grid.setCursor({ at: place, corner: place, typing: null });
}

function keyWhileMoving(grid: Grid, event: KeyboardEvent): boolean {
  const { cells, columns, cursor, setCursor, fillDown } = grid;
  const step = steps[event.key];
  const isCommand = event.ctrlKey || event.metaKey;
  if (step !== undefined) {
    if (event.shiftKey) setCursor({ ...cursor, corner: moved(grid, cursor.corner, step) });
    else goTo(grid, moved(grid, cursor.at, step));
    return true;
  }
  if (isCommand) {
    if (event.key === "d") fillDown();
    else if (event.key === "z" && !event.shiftKey) return cells.undo();
    else if (event.key === "a")
      setCursor({ ...cursor, at: { row: 0, column: 0 }, corner: moved(grid, cursor.at, whole) });
    else return false;
    return true;
  }
  if (event.key === "Delete" || event.key === "Backspace") {
    cells.put(placesIn(cursor.at, cursor.corner).map((place) => ({ ...place, text: "" })));
    return true;
  }
  const isEdited = columns[cursor.at.column]?.isFixed !== true;
  if (event.key === "Enter" || event.key === "F2") {
    if (isEdited) setCursor({ ...cursor, corner: cursor.at, typing: cells.textAt(cursor.at) });
    return true;
  }
  if (event.key.length === 1 && event.key !== " " && !event.altKey && isEdited) {
    setCursor({ ...cursor, corner: cursor.at, typing: event.key });
    return true;
  }
  return false;
}

const whole = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY] as const;

function keyWhileTyping(grid: Grid, event: KeyboardEvent): boolean {
  const { cells, cursor } = grid;
  if (event.key === "Escape") {
    finish(event);
    goTo(grid, cursor.at);
    return true;
  }
  if (event.key !== "Enter" && event.key !== "Tab") {
    // What is typed belongs to the field, an undo too.
    event.stopPropagation();
    return false;
  }
  finish(event);
  cells.put([{ ...cursor.at, text: cursor.typing ?? "" }]);
  const back = event.shiftKey ? -1 : 1;
  goTo(grid, moved(grid, cursor.at, event.key === "Enter" ? [back, 0] : [0, back]));
  return true;
}

/** The field goes away with its text taken or dropped: leaving it is not to be taken for another entry. */
function finish({ target }: KeyboardEvent): void {
  if (target instanceof HTMLElement) target.dataset["finished"] = "";
}
