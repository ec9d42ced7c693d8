import { type Problem, problem } from "#distributions/problem.ts";
import { readCells } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import { type DecimalMark, numberIn } from "#distributions/tables/text/numbers.ts";
import { beforeUnit, figuresIn, markProven, twofoldNumber } from "../text/twofoldNumber.ts";
import { type ColumnMatch, factorOf, matchOf, whyNoMatch } from "./knownColumns.ts";

/** One row of a table with named columns: words where words were asked for, else numbers or null for an empty cell. */
export interface NamedRow {
  readonly row: number;
  readonly text: Readonly<Record<string, string>>;
  readonly number: Readonly<Record<string, number | null>>;
}

/** The number of a column that was required: rows without it are left out. @throws RangeError  a column that was not */
export function requiredIn({ number }: NamedRow, name: string): number {
  const value = number[name];
  if (value === undefined || value === null) throw new RangeError(`${name} was not required`);
  return value;
}

export interface Columns {
  readonly rows: readonly NamedRow[];
  readonly problems: readonly Problem[];
  /** Headings that nothing is known of, also those that are kept all the same. */
  readonly unknown: readonly string[];
}

/**
 * A table with a heading row, as trials and BET pairs are kept: by the columns' own names, or any words and units that say
 * the same ("wheel rpm", "gas flow m3/min"). A row with an unusable cell is left out and said so; the others are kept.
 */
export function readColumns(
  text: string,
  file: string | null,
  names: {
    readonly words: readonly string[];
    readonly required: readonly string[];
    readonly optional: readonly string[];
    /** Words of a column that may be missing altogether; then they are "". */
    readonly optionalWords?: readonly string[];
    /** Headings that nothing is known of, whose cells are taken as words all the same. */
    readonly kept?: readonly string[];
  },
): Columns {
  const { cells, decimalMark } = cellsOf(text.replace(/^\ufeff/, ""));
  const start = cells.findIndex((row) => row.some((cell) => cell !== ""));
  const heading = cells[start] ?? [];
  const all = [...names.words, ...(names.optionalWords ?? []), ...names.required, ...names.optional];
  const matches = new Map(all.map((name) => [name, matchOf(name, heading)] as const));
  const columnOf = (name: string) => matches.get(name)?.column ?? -1;
  const needed = [...names.words, ...names.required];
  const problems = needed
    .filter((name) => columnOf(name) < 0)
    .map((name) => noColumn(name, { heading, start, file, names: [...needed, ...names.optional] }));
  problems.push(...twofold(matches, heading, { file, row: start + 1 }));
  const { mark, isOpen } = markProven(cells.slice(start + 1), decimalMark);
  if (isOpen) problems.push(...twofoldNumber(cells.slice(start + 1), { file, row: start + 2 }));
  const taken = new Set([...matches.values()].map((match) => match?.column));
  const strange = heading.flatMap((text, column) =>
    text === "" || taken.has(column) ? [] : [{ text, column }],
  );
  const unknown = strange.map(({ text }) => text);
  if (problems.length > 0) return { rows: [], problems, unknown };
  const kept = strange.filter(({ text }) => names.kept?.includes(text));
  problems.push(...readAs(matches, heading, file, start + 1));
  problems.push(
    ...leftOut(
      strange.filter((one) => !kept.includes(one)).map(({ text }) => text),
      { file, row: start + 1 },
    ),
  );
  const rows: NamedRow[] = [];
  for (const [i, row] of cells.entries()) {
    if (i <= start || row.every((cell) => cell === "")) continue;
    const number: Record<string, number | null> = {};
    const faults: Problem[] = [];
    for (const name of [...names.required, ...names.optional]) {
      const column = columnOf(name);
      const cell = column < 0 ? "" : (row[column] ?? "");
      const value = cell === "" ? null : valueIn(cell, name, matches.get(name)?.factor ?? 1, mark);
      const isMissing = cell === "" && names.required.includes(name);
      if (isMissing || (cell !== "" && !(value !== null && value > 0))) {
        faults.push(notAboveZero(name, cell, { file, row: i + 1, column: column + 1 }));
      }
      number[name] = value;
    }
    problems.push(...faults);
    if (faults.length === 0) {
      rows.push({
        row: i + 1,
        text: Object.fromEntries([
          ...[...names.words, ...(names.optionalWords ?? [])].map((name) => [
            name,
            row[columnOf(name)] ?? "",
          ]),
          ...kept.map(({ text: name, column }) => [name, row[column] ?? ""]),
        ]),
        number,
      });
    }
  }
  return { rows, problems, unknown };
}

/** A column that is missing; `start` is below 0 where the whole table is empty. */
function noColumn(
  name: string,
  {
    heading,
    start,
    file,
    names,
  }: {
    readonly heading: readonly string[];
    readonly start: number;
    readonly file: string | null;
    readonly names: readonly string[];
  },
): Problem {
  const isEmpty = start < 0;
  return problem(
    "refused",
    `The heading row has no column ${name}. ${isEmpty ? "" : withBlank(whyNoMatch(name, heading))}Name the columns ${names.join(", ")}.`,
    {
      file,
      row: isEmpty ? null : start + 1,
      found: isEmpty ? "an empty table" : heading.join(", "),
      expected: name,
    },
  );
}

/** A cell that is no number above zero, for which its row is left out. */
function notAboveZero(
  name: string,
  cell: string,
  at: { readonly file: string | null; readonly row: number; readonly column: number },
): Problem {
  return problem(
    "refused",
    `Row ${at.row}: ${name} must be a number above zero. The row is left out; correct it and bring it in again.`,
    { ...at, found: cell === "" ? "an empty cell" : cell, expected: "a number above zero" },
  );
}

/** The cells; where the headings came out as one, by the sign that parts them. */
function cellsOf(text: string): ReturnType<typeof readCells> {
  const found = readCells(text);
  const first = found.cells.find((row) => row.some((cell) => cell !== "")) ?? [];
  if (first.filter((cell) => cell !== "").length > 1) return found;
  const heading = text.trimStart().split(/\r?\n/, 1)[0] ?? "";
  const sign = ([";", "\t", "|", ","] as const).find((one) => heading.includes(one));
  return sign === undefined ? found : readCells(text, { delimiter: sign });
}

/** A column that would stand for two, which it cannot. */
function twofold(
  matches: ReadonlyMap<string, ColumnMatch | null>,
  heading: readonly string[],
  at: { readonly file: string | null; readonly row: number },
): Problem[] {
  const named = new Map<number, string>();
  return [...matches].flatMap(([name, match]): Problem[] => {
    if (match === null) return [];
    const other = named.get(match.column);
    if (other === undefined) named.set(match.column, name);
    const text = heading[match.column] ?? "";
    return other === undefined
      ? []
      : [
          problem(
            "refused",
            `"${text}" could be ${other} and ${name}. Give each a column of its own, or name the columns so.`,
            { ...at, column: match.column + 1, found: text, expected: `${other} or ${name}` },
          ),
        ];
  });
}

function withBlank(sentence: string): string {
  return sentence === "" ? "" : `${sentence} `;
}

/** The number of a cell in the column's unit; its own unit, as in "6.2 krpm", goes before the heading's. */
function valueIn(cell: string, name: string, factor: number, mark: DecimalMark): number | null {
  const plain = numberIn(cell, mark);
  if (plain !== null) return plain * factor;
  const { figures, unit } = beforeUnit(cell);
  const [number, own] = [figuresIn(figures, mark), factorOf(name, unit)];
  return number === null || own === null ? null : number * own;
}

/** What each column was taken for under another heading than its own, and in which unit. */
function readAs(
  matches: ReadonlyMap<string, ColumnMatch | null>,
  heading: readonly string[],
  file: string | null,
  row: number,
): Problem[] {
  return [...matches].flatMap(([name, match]): Problem[] => {
    const text = match === null ? "" : (heading[match.column] ?? "");
    if (match === null || text.toLowerCase() === name.toLowerCase()) return [];
    const unit = match.isUnitAssumed
      ? "; no unit is written, so it is taken as it is"
      : match.factor === 1
        ? ""
        : `, times ${match.factor}`;
    return [
      problem("note", `"${text}" was read as ${name}${unit}.`, {
        file,
        row,
        column: match.column + 1,
        found: text,
        expected: name,
      }),
    ];
  });
}

/** Columns that nothing is known of. */
function leftOut(
  unknown: readonly string[],
  at: { readonly file: string | null; readonly row: number },
): Problem[] {
  if (unknown.length === 0) return [];
  const names = unknown.map((text) => `"${text}"`).join(", ");
  return [problem("note", `Not known and left out: ${names}.`, { ...at, found: unknown.join(", ") })];
}
