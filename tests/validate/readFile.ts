import { readFileSync } from "node:fs";
import Papa from "papaparse";

/** The rows of a delimited file by column name; lines that start with # are remarks. */
export function readRows(path: string): Record<string, string>[] {
  return Papa.parse<Record<string, string>>(readFileSync(path, "utf8").replaceAll("\r\n", "\n"), {
    header: true,
    comments: "#",
    skipEmptyLines: true,
  }).data;
}

/** The lines of numbers in a file whose columns are parted by blanks; lines with words are passed over. */
export function readNumbers(path: string): number[][] {
  return readFileSync(path, "utf8")
    .split("\n")
    .filter((line) => line.trim() !== "")
    .map((line) => line.trim().split(/\s+/).map(Number))
    .filter((row) => row.every(Number.isFinite));
}
