import { strToU8, zipSync } from "fflate";
import Papa from "papaparse";
import { formulaStart } from "#model/words/formulaStart.ts";
import type { SavedTables } from "./savedTables.ts";

type Tables = SavedTables["tables"];

const columnsOf = (rows: readonly object[]): string[] => Object.keys(rows[0] ?? { "nothing saved": null });

/**
 * Each table as CSV, by the name of its file.
 *
 * @param asSaved  whether texts that begin like a formula stand as they are; else an apostrophe stands before them
 */
export function csvTables(tables: Tables, asSaved: boolean): Map<string, string> {
  return new Map(
    [...tables].map(([name, rows]) => {
      const fields = columnsOf(rows);
      const data = rows.map((row) => fields.map((field) => row[field] ?? ""));
      const text = Papa.unparse(
        { fields, data },
        { newline: "\n", escapeFormulae: asSaved ? false : formulaStart },
      );
      return [`${name}.csv`, `${text}\n`];
    }),
  );
}

export function csvArchive(tables: Tables, asSaved: boolean): Uint8Array<ArrayBuffer> {
  const files = [...csvTables(tables, asSaved)].map(([name, text]) => [name, strToU8(text)] as const);
  return new Uint8Array(zipSync(Object.fromEntries(files)));
}

/** A workbook with a sheet a table, numbers as numbers; its first row stays in sight. */
export async function workbookOf(tables: Tables): Promise<Uint8Array<ArrayBuffer>> {
  // Loaded only here: nothing else writes workbooks.
  const { default: writeWorkbook } = await import("write-excel-file/node");
  const sheets = [...tables].map(([name, rows]) => {
    const columns = columnsOf(rows);
    const heading = columns.map((value) => ({ value, fontWeight: "bold" as const }));
    const cells = rows.map((row) => columns.map((column) => row[column] ?? null));
    return {
      sheet: name,
      data: [heading, ...cells],
      stickyRowsCount: 1,
      columns: columns.map((column) => ({
        width: column === "text" ? 120 : Math.max(10, column.length + 2),
      })),
    };
  });
  return new Uint8Array(await writeWorkbook(sheets).toBuffer());
}
