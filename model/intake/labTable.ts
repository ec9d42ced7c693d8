import { type Problem, problem } from "#distributions/problem.ts";
import { readCells } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import { markProven, twofoldNumber } from "#distributions/tables/text/twofoldNumber.ts";
import type { KnownLab } from "./intake.ts";
import { copyBegins, type LabColumn, labColumns } from "./labColumns.ts";
import { type LabRow, type LabTableSaid, rowRead } from "./labRow.ts";

export interface LabTableRead {
  readonly columns: readonly LabColumn[];
  readonly rows: readonly LabRow[];
  /** Of the table as a whole. */
  readonly problems: readonly Problem[];
}

/**
 * A laboratory's own table, a row a lot or a stage of one, under whatever headings people use: settings, results, days,
 * masses. Columns that nothing is known of are open until a person says what they are; a cell that cannot stand is named
 * and its row left out.
 */
export function readLabTable(text: string, lab: KnownLab, said: LabTableSaid = {}): LabTableRead {
  const plain = text.replace(/^\ufeff/, "");
  const { cells, decimalMark } = readCells(plain, signs(plain));
  const isHeading = (row: readonly string[]) => row.filter((cell) => cell.trim() !== "").length > 1;
  const start = cells.findIndex(isHeading);
  const columns = labColumns(
    (cells[start] ?? []).map((heading) => heading.trim()),
    lab.words.stageWords,
    said.columns,
  );
  const lotAt = columns.findIndex(({ as }) => as === "lot");
  if (lotAt < 0)
    return {
      columns,
      rows: [],
      problems: [
        problem("refused", "No column names the lots. Head one with Lot, or say which it is.", {
          row: start < 0 ? null : start + 1,
          found: (cells[start] ?? []).join(", ") || "an empty table",
          expected: "a heading row with a column Lot",
        }),
      ],
    };
  // This lab's own copies write points.
  const { mark, isOpen } = plain.startsWith(copyBegins)
    ? ({ mark: ".", isOpen: false } as const)
    : markProven(cells.slice(start + 1), decimalMark);
  const open = isOpen ? twofoldNumber(cells.slice(start + 1), { file: null, row: start + 2 }) : [];
  if (open.length > 0) return { columns, rows: [], problems: open };
  const rows: LabRow[] = [];
  let lot = "";
  for (const [i, row] of cells.entries()) {
    if (i <= start || row.every((cell) => cell.trim() === "")) continue;
    const own = (row[lotAt] ?? "").trim();
    if (own !== "") lot = own;
    rows.push(rowRead({ cells: row, row: i + 1, lot }, columns, { lab, said, mark }));
  }
  return { columns, rows, problems: rows.length > 0 ? [] : [noRows(start)] };
}

const noRows = (start: number) =>
  problem("refused", "The table has a heading and no rows.", {
    row: start + 1,
    found: "no rows",
    expected: "a row a lot",
  });

/** How the cells are parted, as the first line that holds a sign for it shows; the rest is found from the cells. */
function signs(text: string): Parameters<typeof readCells>[1] {
  if (text.startsWith(copyBegins)) return { delimiter: "\t", mark: "." };
  const line = text.split(/[\r\n]+/).find((one) => /[\t;|]/.test(one)) ?? "";
  const delimiter = (["\t", ";", "|"] as const).find((sign) => line.includes(sign));
  return delimiter === undefined ? {} : { delimiter };
}
