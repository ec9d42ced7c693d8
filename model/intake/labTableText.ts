import { copyHeadings, type LabColumn, ownHeading } from "./labColumns.ts";
import type { NotedResult, NotedStage } from "./labRow.ts";

/** What a lab has noted of a lot. */
export interface NotedLot {
  readonly name: string;
  readonly material: string;
  readonly dateMade: string | null;
  readonly stages: readonly NotedStage[];
  readonly results: readonly NotedResult[];
}

type Column = Pick<LabColumn, "as" | "name" | "unit" | "stage">;

/**
 * What is noted of lots as a table with tabs, which `readLabTable` reads back as the very same: a row a lot, and a further
 * one for each repeat of a result.
 */
export function labTableText(lots: readonly NotedLot[]): string {
  const columns = new Map<string, Column>();
  const rows = lots.flatMap((lot) => rowsOf(lot, columns));
  const headings = [...copyHeadings, ...columns.keys()];
  const lines = rows.map((row) => headings.map((heading) => quoted(row.get(heading) ?? "")).join("\t"));
  return `${[headings.map(quoted).join("\t"), ...lines].join("\n")}\n`;
}

function rowsOf(lot: NotedLot, columns: Map<string, Column>): readonly ReadonlyMap<string, string>[] {
  const head = () =>
    new Map([
      ["Lot", lot.name],
      ["Material", lot.material],
      ["Date made", lot.dateMade ?? ""],
    ]);
  const put = (row: Map<string, string>, column: Column, text: string) => {
    const heading = ownHeading(column);
    columns.set(heading, column);
    row.set(heading, text);
  };
  const main = head();
  for (const { stage, settings, ...noted } of lot.stages) {
    for (const { name, value, unit } of settings) put(main, { as: "setting", name, unit, stage }, value);
    const others = [
      ["date", noted.date],
      ["mass in", noted.massInG],
      ["mass out", noted.massOutG],
      ["note", noted.note],
    ] as const;
    for (const [as, value] of others)
      if (value !== null && value !== "") put(main, { as, name: "", unit: "g", stage }, String(value));
  }
  const rows = [main];
  for (const { value, uncertainty, date, ...of } of lot.results) {
    const heading = ownHeading({ as: "result", ...of });
    // Results of one row share its day; a repeat, or one of another day, takes a row of its own.
    const free = rows.find((row) => !row.has(heading) && (row.get("Date") ?? "") === (date ?? ""));
    const row = free ?? head().set("Date", date ?? "");
    if (free === undefined) rows.push(row);
    put(row, { as: "result", ...of }, String(value));
    if (uncertainty !== null) put(row, { as: "uncertainty", ...of }, String(uncertainty));
  }
  return rows;
}

function quoted(text: string): string {
  return /[\t\r\n"]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
