import readWorkbook from "read-excel-file/universal";
import { type Problem, problem } from "#distributions/problem.ts";
import { plainWorkbook } from "./plainCells.ts";
import { joinSheets } from "./sheets.ts";
import { workbookFault } from "./workbookArchive.ts";

/** Whether bytes are a packed workbook, as .xlsx files are. */
export function isWorkbook(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4;
}

/**
 * The cells of a workbook as text with tabs, so that it is read as every other table is. Its sheets follow one another,
 * each under its name. A workbook that could do harm is not unpacked.
 */
export async function workbookText(bytes: Uint8Array): Promise<string | Problem> {
  const fault = workbookFault(bytes);
  if (fault !== null) return fault;
  try {
    const plain = plainWorkbook(bytes);
    const copy = new Uint8Array(plain.bytes);
    const sheets = await readWorkbook(copy.buffer);
    const characters = charactersIn(sheets.map(({ data }) => data));
    if (characters > maxCharacters)
      return problem(
        "refused",
        `The cells of the workbook hold ${Math.round(characters / 1e6)} million characters, more than is read at once. Save the sheet with the table in a CSV file.`,
        { found: `${Math.round(characters / 1e6)} million characters`, expected: "at most 64 million" },
      );
    const mark = markOfTexts(sheets.map(({ data }) => data));
    return joinSheets(
      sheets.map(({ sheet, data }, i) => ({
        name: sheet,
        hidden: plain.hidden[i] ?? null,
        text: data.map((row) => row.map((cell) => textOf(cell, mark)).join("\t")).join("\n"),
      })),
    );
  } catch {
    return problem(
      "refused",
      "The workbook could not be read. Save the sheet with the table in a CSV file and bring that in.",
      {
        found: "a workbook that is no table of cells",
        expected: "an .xlsx file",
      },
    );
  }
}

const maxCharacters = 64e6;

/** One text that many cells share is small in the file and large as a table. */
function charactersIn(sheets: readonly (readonly (readonly unknown[])[])[]): number {
  let characters = 0;
  for (const data of sheets)
    for (const row of data) {
      characters += row.length;
      for (const cell of row) if (typeof cell === "string") characters += cell.length;
    }
  return characters;
}

/** A number that stands in a text of its own, as in "0,5–1,2" or "<0,3". */
const leadingNumber = /^[<>≤≥=~≈±+\-−\s]{0,4}\d{1,15}([.,])\d/;
/** A number under a per cent format, as it was written for the reader. */
const formatted = /^-?\d+(?:\.\d+)?(?:e[+-]\d+)?%$/i;

/**
 * The decimal mark of numbers that stand in texts, such as ranges typed where commas are written: cells that are numbers have
 * none of their own and take it, so that the table is written in one way.
 */
function markOfTexts(sheets: readonly (readonly (readonly unknown[])[])[]): "." | "," {
  const counts = { ".": 0, ",": 0 };
  for (const data of sheets)
    for (const row of data)
      for (const cell of row) {
        if (typeof cell !== "string" || formatted.test(cell)) continue;
        const mark = leadingNumber.exec(cell)?.[1];
        if (mark === "." || mark === ",") counts[mark]++;
      }
  return counts[","] > counts["."] ? "," : ".";
}

function textOf(cell: unknown, mark: "." | ","): string {
  if (cell === null || cell === undefined) return "";
  if (typeof cell === "number") return numberText(cell).replace(".", mark);
  if (typeof cell === "string" && formatted.test(cell)) return cell.replace(".", mark);
  if (typeof cell === "object" && "toISOString" in cell && typeof cell.toISOString === "function")
    return String(cell.toISOString()).slice(0, 10);
  const text = String(cell).replace(/[\t\r\n]+/g, " ");
  return text.includes('"') ? `"${text.replaceAll('"', '""')}"` : text;
}

/** A number is known to be one: a fourth decimal keeps 1.234 from being taken for a thousand and more. */
function numberText(value: number): string {
  const text = String(value);
  return /^-?[1-9]\d{0,2}\.\d{3}$/.test(text) ? `${text}0` : text;
}
