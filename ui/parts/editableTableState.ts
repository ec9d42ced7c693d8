import { useRef, useState } from "preact/hooks";
import {
  type CellPlace,
  type CellText,
  type CellValue,
  cellText,
  type EditableColumn,
  readCell,
} from "./editableTableCells.ts";

export interface EditableRow {
  readonly id: string;
  /** What the row is called, for whoever hears one cell alone. */
  readonly name: string;
  readonly cells: Readonly<Record<string, CellValue>>;
}

/** A cell that changes from one value to another. */
export interface CellChange {
  readonly rowId: string;
  readonly key: string;
  readonly from: CellValue;
  readonly to: CellValue;
}

export interface CellFault {
  readonly rowName: string;
  readonly column: EditableColumn;
  readonly text: string;
  readonly expected: string;
}

export interface EditableTableProps {
  readonly name: string;
  readonly columns: readonly EditableColumn[];
  readonly rows: readonly EditableRow[];
  /** Saves changes that are valid. @returns whether all were saved */
  readonly onChange: (changes: readonly CellChange[]) => Promise<boolean>;
  /** Saves new rows, whole and valid; left out where rows are not added here. */
  readonly onAdd?: (rows: readonly Readonly<Record<string, CellValue>>[]) => Promise<boolean>;
  /** What a new row is called, as "trial". */
  readonly rowNoun?: string;
}

/** Texts of new rows begin with this instead of a saved row's id. */
const newRow = "new ";
export const isNewRow = (row: EditableRow): boolean => row.id.startsWith(newRow);
const cellKey = (rowId: string, key: string) => `${rowId} ${key}`;

/** What texts put into cells come to. */
interface TakenTexts {
  /** Of saved rows, valid and another than before. */
  readonly changes: readonly CellChange[];
  /** Texts that cannot stand, and those of new rows. */
  readonly drafts: ReadonlyMap<string, string>;
  /** Cells whose drafts are done with. */
  readonly settled: ReadonlySet<string>;
  /** How many new rows there are at least. */
  readonly newRows: number;
  /** Texts for which there is no cell. */
  readonly beyond: number;
}

function takenTexts(
  texts: readonly CellText[],
  table: {
    readonly columns: readonly EditableColumn[];
    readonly rows: readonly EditableRow[];
    readonly canAdd: boolean;
    readonly valueAt: (row: EditableRow, key: string) => CellValue;
  },
): TakenTexts {
  const { columns, rows, canAdd, valueAt } = table;
  const [changes, drafts, settled]: [CellChange[], Map<string, string>, Set<string>] = [
    [],
    new Map(),
    new Set(),
  ];
  let [newRows, beyond] = [0, 0];
  for (const { row, column: at, text } of texts) {
    const [column, saved] = [columns[at], rows[row]];
    if (column === undefined || (saved === undefined && !canAdd)) {
      beyond += 1;
      continue;
    }
    if (column.isFixed === true) continue;
    if (saved === undefined) {
      const place = row - rows.length;
      newRows = Math.max(newRows, text.trim() === "" ? 0 : place + 1);
      drafts.set(cellKey(`${newRow}${place}`, column.key), text);
      continue;
    }
    const read = readCell(column, text);
    const key = cellKey(saved.id, column.key);
    if (read.kind === "fault") drafts.set(key, text);
    else {
      settled.add(key);
      const from = valueAt(saved, column.key);
      if (from !== read.value) changes.push({ rowId: saved.id, key: column.key, from, to: read.value });
    }
  }
  return { changes, drafts, settled, newRows, beyond };
}

/** Values on their way to be saved, and what was saved here, so that it can be undone. */
function useSaving(onChange: EditableTableProps["onChange"], setNotice: (notice: string) => void) {
  const [sending, setSending] = useState<ReadonlyMap<string, CellValue>>(new Map());
  const done = useRef<(readonly CellChange[])[]>([]);
  const valueAt = (row: EditableRow, key: string): CellValue =>
    sending.has(cellKey(row.id, key))
      ? (sending.get(cellKey(row.id, key)) ?? null)
      : (row.cells[key] ?? null);
  const queue = useRef<Promise<boolean>>(Promise.resolve(true));
  const send = async (changes: readonly CellChange[], isUndo: boolean): Promise<void> => {
    if (changes.length === 0) return;
    const sent = new Map(changes.map((c) => [cellKey(c.rowId, c.key), c.to]));
    setSending((before) => new Map([...before, ...sent]));
    // Noted before it is saved: an undo pressed meanwhile takes back this, not what was done before it.
    if (!isUndo) done.current = [...done.current, changes];
    queue.current = queue.current.catch(() => false).then(() => onChange(changes));
    const isSaved = await queue.current;
    setSending(
      (before) => new Map([...before].filter(([key, to]) => !sent.has(key) || sent.get(key) !== to)),
    );
    if (isSaved) return;
    done.current = done.current.filter((each) => each !== changes);
    setNotice("Not saved: the reason stands above. The cells show what is saved.");
  };
  const undo = (): boolean => {
    const last = done.current.pop();
    if (last === undefined) return false;
    void send(
      last.map(({ rowId, key, from, to }) => ({ rowId, key, from: to, to: from })),
      true,
    );
    return true;
  };
  return { valueAt, send, undo };
}

/** What stands in the cells: what is saved, over it what is being saved, over that what cannot stand and why. */
export function useCells(props: EditableTableProps, shown: readonly EditableRow[]) {
  const { columns, onChange, onAdd, rowNoun = "row" } = props;
  /** Texts that cannot stand, and all texts of new rows. */
  const [drafts, setDrafts] = useState<ReadonlyMap<string, string>>(new Map());
  const [newRows, setNewRows] = useState(0);
  const [notice, setNotice] = useState("");
  const { valueAt, send, undo } = useSaving(onChange, setNotice);
  const fresh = Array.from(
    { length: onAdd === undefined ? 0 : newRows + 1 },
    (_, i): EditableRow => ({ id: `${newRow}${i}`, name: `new ${rowNoun} ${i + 1}`, cells: {} }),
  );
  const rows = [...shown, ...fresh];

  const textIn = (row: EditableRow, column: EditableColumn): string =>
    drafts.get(cellKey(row.id, column.key)) ?? cellText(valueAt(row, column.key));
  const textAt = ({ row, column }: CellPlace): string => {
    const [r, c] = [rows[row], columns[column]];
    return r === undefined || c === undefined ? "" : textIn(r, c);
  };
  const isUsed = (row: EditableRow) => columns.some((c) => (drafts.get(cellKey(row.id, c.key)) ?? "") !== "");
  const faultIn = (row: EditableRow, column: EditableColumn): string | null => {
    const draft = drafts.get(cellKey(row.id, column.key));
    if (isNewRow(row) ? !isUsed(row) : draft === undefined) return null;
    const read = readCell(column, draft ?? "");
    return read.kind === "fault" ? read.expected : null;
  };

  /** Puts texts into cells: what is valid is saved, what is not stays where it is and says what was expected. */
  const put = (texts: readonly CellText[]): void => {
    const taken = takenTexts(texts, { columns, rows: shown, canAdd: onAdd !== undefined, valueAt });
    setDrafts(new Map([...[...drafts].filter(([key]) => !taken.settled.has(key)), ...taken.drafts]));
    setNewRows(Math.max(newRows, taken.newRows));
    setNotice(taken.beyond === 0 ? "" : `${taken.beyond} cells beyond the table were left out.`);
    void send(taken.changes, false);
  };

  const used = fresh.filter(isUsed);
  const faults = rows.flatMap((row) =>
    columns.flatMap((column): CellFault[] => {
      const expected = faultIn(row, column);
      return expected === null
        ? []
        : [{ rowName: row.name, column, text: drafts.get(cellKey(row.id, column.key)) ?? "", expected }];
    }),
  );
  const clearNew = () => {
    setDrafts(new Map([...drafts].filter(([key]) => !key.startsWith(newRow))));
    setNewRows(0);
  };
  const add = async (): Promise<void> => {
    const whole = used.map((row) =>
      Object.fromEntries(
        columns.map((column) => {
          const read = readCell(column, textIn(row, column));
          return [column.key, read.kind === "value" ? read.value : null];
        }),
      ),
    );
    if (onAdd !== undefined && (await onAdd(whole))) clearNew();
  };
  const canAdd = used.length > 0 && used.every((row) => columns.every((c) => faultIn(row, c) === null));
  return {
    rows,
    textAt,
    textIn,
    valueAt,
    faultIn,
    put,
    undo,
    faults,
    notice,
    newCount: used.length,
    canAdd,
    add,
    clearNew,
  };
}

export type EditedCells = ReturnType<typeof useCells>;
