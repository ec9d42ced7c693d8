import { strToU8, zipSync } from "fflate";
import Papa from "papaparse";
import { workbookText } from "#distributions/tables/workbook/workbook.ts";
import { type Draw, drawFrom } from "../../distributions/tables/draw.ts";
import { parts } from "../../distributions/tables/workbook/workbookParts.ts";
import type { HostileCount } from "./count.ts";
import { type Hostile, hostileOf } from "./hostile.ts";
import { judge, type Outcome } from "./judge.ts";
import { undersizeOf } from "./powder.ts";

const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
/** Style 1 shows per cent with two decimals. Source: ECMA-376 Part 1, 18.8.30, format 10. */
const styles = `<styleSheet xmlns="${main}"><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="10"/></cellXfs></styleSheet>`;

/** How the same cells are put into a workbook. */
interface Manner {
  /** Numbers written as text, as an import leaves them. */
  readonly areTexts: boolean;
  /** Fractions and per cents shown through a per cent format. */
  readonly hasFormats: boolean;
  readonly hiddenRows: readonly number[];
  readonly hiddenColumns: readonly number[];
  readonly isMerged: boolean;
}

interface Cell {
  readonly text: string;
  readonly value: number | null;
  readonly isPercent: boolean;
}

/** A hostile table in a workbook, with what it holds. */
export interface HostileWorkbook {
  readonly hostile: Hostile;
  readonly bytes: Uint8Array;
}

/** The workbook of one seed: the same one each time. */
export function workbookOf(seed: number): HostileWorkbook {
  const hostile = hostileOf(seed);
  const draw = drawFrom(seed + 33_000_000);
  const rows = rowsOf(hostile);
  const width = Math.max(...rows.map((row) => row.length));
  const manner: Manner = {
    areTexts: draw.chance(0.12),
    hasFormats: draw.chance(0.5),
    hiddenRows: draw.chance(0.2) ? [draw.whole(1, rows.length), draw.whole(1, rows.length)] : [],
    hiddenColumns: draw.chance(0.2) ? [draw.whole(1, width)] : [],
    isMerged: draw.chance(0.7),
  };
  const sheets = inSheets(rows, hostile, draw).map((sheet) => sheetXml(sheet, hostile, manner));
  const more = draw.chance(0.3) ? [draw.pick([emptySheet, remarksSheet])] : [];
  const all = draw.chance(0.5) ? [...sheets, ...more] : [...more, ...sheets];
  const bytes = zipSync({ ...parts(all), "xl/styles.xml": strToU8(styles) }, { level: 0 });
  return { hostile, bytes };
}

function rowsOf({ table, separator }: Hostile): string[][] {
  return Papa.parse<string[]>(table.trimEnd(), {
    delimiter: separator,
    newline: table.includes("\r\n") ? "\r\n" : "\n",
  }).data;
}

/** Tables below each other, with nothing around them, may stand in a sheet each. */
function inSheets(rows: readonly string[][], { what, truth }: Hostile, draw: Draw): string[][][] {
  if (!what.includes(", stacked, ") || truth.length < 2 || draw.chance(0.4)) return [[...rows]];
  const blocks: string[][][] = [[]];
  for (const row of rows) {
    if (row.every((text) => text === "")) blocks.push([]);
    else blocks.at(-1)?.push(row);
  }
  const tables = blocks.filter((block) => block.length > 0);
  // Notes above the first say nothing of another sheet.
  const headings = new Set(
    tables.map((block) => block.filter((row) => !row.some((text) => /\d/.test(text))).length),
  );
  const hasNotes = tables.some((block) => (block[0] ?? []).length < 2) || headings.size > 1;
  return tables.length === truth.length && !hasNotes ? tables : [[...rows]];
}

const sheetStart = `<worksheet xmlns="${main}">`;
const emptySheet = `${sheetStart}<sheetData/></worksheet>`;
const remarksSheet = `${sheetStart}<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>checked by the second shift</t></is></c></row><row r="3"><c r="B3" t="inlineStr"><is><t>lens</t></is></c><c r="C3"><v>300</v></c></row></sheetData></worksheet>`;

function sheetXml(rows: readonly string[][], hostile: Hostile, manner: Manner): string {
  const known = knownShares(hostile);
  const none = new Set<string>();
  const width = Math.max(...rows.map((row) => row.length));
  const isShown = Array.from({ length: width }, (_, c) => {
    const values = rows.flatMap((row) => cellOf(row[c] ?? "", hostile, none).value ?? []);
    const shares = values.filter((v) => known.has(v.toFixed(7)));
    return manner.hasFormats && new Set(shares).size > 4 && shares.length >= 0.9 * values.length;
  });
  const inRows = rows.map((row, r) => {
    const inside = row.map((text, c) =>
      cellXml(cellOf(text, hostile, isShown[c] === true ? known : none), `${columnName(c)}${r + 1}`, manner),
    );
    const isHidden = manner.hiddenRows.includes(r + 1);
    return `<row r="${r + 1}"${isHidden ? ' hidden="1"' : ""}>${inside.join("")}</row>`;
  });
  const columns = manner.hiddenColumns
    .map((c) => `<col min="${c}" max="${c}" hidden="1" width="9"/>`)
    .join("");
  const merged = manner.isMerged ? mergedIn(rows) : [];
  const merges =
    merged.length === 0
      ? ""
      : `<mergeCells count="${merged.length}">${merged.map((ref) => `<mergeCell ref="${ref}"/>`).join("")}</mergeCells>`;
  return `${sheetStart}${columns === "" ? "" : `<cols>${columns}</cols>`}<sheetData>${inRows.join("")}</sheetData>${merges}</worksheet>`;
}

/** Fractions and per cents that are the table's shares, as they are written. */
function knownShares({ truth, answers }: Hostile): ReadonlySet<string> {
  if (answers.scale === "amount") return new Set();
  const all = truth.flatMap((known) => {
    const under = undersizeOf(known);
    return [...known.shares, ...under, ...under.map((q) => 1 - q)];
  });
  return new Set(all.map((v) => v.toFixed(7)));
}

function cellOf(text: string, { mark, answers }: Hostile, shares: ReadonlySet<string>): Cell {
  const plain = mark === "," ? text.replace(",", ".") : text;
  const signed = /^([\d.]+) ?%$/.exec(plain)?.[1];
  if (signed !== undefined)
    return { text, value: Number((Number(signed) / 100).toPrecision(12)), isPercent: true };
  const isNumber = /^-?\d+(\.\d+)?(e[+-]?\d+)?$/i.test(plain) && !(mark === "," && text.includes("."));
  if (!isNumber) return { text, value: null, isPercent: false };
  const value = Number(plain);
  const isShare = answers.scale === "fraction" && shares.has(value.toFixed(7));
  return { text, value, isPercent: isShare };
}

function cellXml({ text, value, isPercent }: Cell, at: string, { areTexts }: Manner): string {
  if (text === "") return "";
  if (value === null || areTexts)
    return `<c r="${at}" t="inlineStr"><is><t xml:space="preserve">${escaped(text)}</t></is></c>`;
  return `<c r="${at}"${isPercent ? ' s="1"' : ""}><v>${value}</v></c>`;
}

function escaped(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
}

function columnName(c: number): string {
  const letter = String.fromCharCode(65 + (c % 26));
  return c < 26 ? letter : `${columnName(Math.floor(c / 26) - 1)}${letter}`;
}

/** Names that stand over several columns of a row without numbers. */
function mergedIn(rows: readonly string[][]): string[] {
  const [row] = rows;
  if (row === undefined || row.some((text) => /\d/.test(text)) || row.length < 3) return [];
  return row.flatMap((text, c) => {
    let to = c;
    while (text !== "" && to + 1 < row.length && row[to + 1] === "") to++;
    return to > c ? [`${columnName(c)}1:${columnName(to)}1`] : [];
  });
}

/** Reads the workbooks of a run of seeds and judges each. */
export async function countWorkbooks(firstSeed: number, count: number): Promise<HostileCount> {
  const outcomes: Record<Outcome, number> = {
    right: 0,
    asked: 0,
    "refused rightly": 0,
    refused: 0,
    misread: 0,
    "too many questions": 0,
  };
  const wrong: HostileCount["wrong"][number][] = [];
  let needless = 0;
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    const { hostile, bytes } = workbookOf(seed);
    const text = await workbookText(bytes);
    if (typeof text !== "string") {
      outcomes.refused++;
      wrong.push({ seed, outcome: "refused", what: hostile.what, why: text.message });
      continue;
    }
    const judged = judge({ ...hostile, file: hostile.file.replace(/\w+$/, "xlsx") }, text);
    outcomes[judged.outcome]++;
    if (judged.needless.length > 0) needless++;
    const isWrong = ["refused", "misread", "too many questions"].includes(judged.outcome);
    if (isWrong || judged.needless.length > 0)
      wrong.push({
        seed,
        outcome: isWrong ? judged.outcome : "needless",
        what: hostile.what,
        why: judged.why,
      });
  }
  return { outcomes, needless, wrong };
}
