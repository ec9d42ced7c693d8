import { curveOf, sizeAt } from "../curve.ts";
import type { HowMeasured } from "../howMeasured.ts";
import type { NamedMeasurement } from "../measured.ts";
import { type Problem, problem } from "../problem.ts";
import { isBlank } from "./block.ts";
import { decode, mended } from "./decode.ts";
import { type Cells, type Delimiter, readCells } from "./delimited.ts";
import { findTables } from "./findTables.ts";
import { readJsonCopy } from "./jsonCopy.ts";
import type { Outcome } from "./outcomes.ts";
import { askOnce, type OpenQuestion, sayOnce } from "./questions.ts";
import { type Progress, readBlock } from "./readBlock.ts";
import type { DelimiterOption, ReadingOptions } from "./readingOptions.ts";
import { sheetsIn } from "./sheets.ts";

/** One thing that had to be decided to read the table, and on what evidence. */
export interface Guess {
  readonly option: keyof ReadingOptions;
  readonly value: string;
  readonly source: "option" | "table" | "assumed";
  readonly evidence: string;
}

export interface Reading {
  readonly file: string | null;
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  readonly how: readonly Guess[];
  /** What became of each measurement, in the order of the file. */
  readonly outcomes: readonly Outcome[];
  /** Lines around the tables. */
  readonly notes: readonly string[];
}

const delimiterOf: Readonly<Record<DelimiterOption, Delimiter>> = {
  comma: ",",
  semicolon: ";",
  tab: "\t",
  pipe: "|",
  blanks: " ",
};
const delimiterName: Readonly<Record<Delimiter, DelimiterOption>> = {
  ",": "comma",
  ";": "semicolon",
  "\t": "tab",
  "|": "pipe",
  " ": "blanks",
};

/**
 * Reads a table of sizes and shares. Never throws: what cannot be read comes back as problems with their place.
 * What the table does not say about edges and quantity is asked, never guessed.
 *
 * @param table  bytes as received, or text
 * @param file        its name, for messages and for the name of a measurement without a heading
 * @param onProgress  called now and then with the share of the work that is done
 */
export function readTable(
  table: Uint8Array | string,
  file: string | null,
  options: ReadingOptions,
  onProgress: Progress = () => {},
): Reading {
  const decoded =
    typeof table === "string"
      ? { text: mended(table), encoding: null, evidence: "" }
      : decode(table, options.encoding);
  if (decoded.text.trim() === "") {
    return refusal(
      file,
      problem("refused", "The table is empty. Copy the sizes with their shares, headings included.", {
        file,
        found: "nothing",
        expected: "a table of sizes and shares",
      }),
    );
  }
  const copy = readJsonCopy(decoded.text, file);
  if (copy !== null) return { file, ...copy, how: [], notes: [] };
  const found = readCells(decoded.text, {
    ...(options.delimiter === undefined ? {} : { delimiter: delimiterOf[options.delimiter] }),
    ...(options.decimal === undefined ? {} : { mark: options.decimal === "comma" ? "," : "." }),
  });
  const how: Guess[] = [];
  if (decoded.encoding !== null)
    how.push({
      option: "encoding",
      value: decoded.encoding,
      source: options.encoding === undefined ? "table" : "option",
      evidence: decoded.evidence,
    });
  how.push({
    option: "delimiter",
    value: delimiterName[found.delimiter],
    source: options.delimiter === undefined ? "table" : "option",
    evidence:
      options.delimiter === undefined ? "it leaves the most numbers and the fewest words" : "your answer",
  });
  onProgress(cellsShare);
  if (found.isMarkOpen) return markOpen(found, file, options, how);
  return readFound(found, file, options, how, onProgress);
}

/** What taking the text apart and finding the tables are of the whole work; measured on 10,000 columns. */
const cellsShare = 0.2;
const tablesShare = 0.5;

/** The same for cells that are already apart, as a program sends them. */
export function readRows(
  rows: readonly (readonly (string | number | null)[])[],
  file: string | null,
  options: ReadingOptions,
): Reading {
  const cells = rows.map((row) => row.map((cell) => (cell === null ? "" : String(cell).trim())));
  return readFound(
    {
      cells,
      delimiter: ",",
      decimalMark: options.decimal === "comma" ? "," : ".",
      isMarkOpen: false,
      tooLarge: null,
    },
    file,
    options,
    [],
  );
}

function refusal(file: string | null, ...problems: Problem[]): Reading {
  return { file, measurements: [], problems, how: [], outcomes: [], notes: [] };
}

/** Every number with a mark reads either way: one reading may make sense alone, else it is asked. */
function markOpen(
  found: Cells,
  file: string | null,
  options: ReadingOptions,
  how: readonly Guess[],
): Reading {
  const readings = (["point", "comma"] as const).map((decimal) => ({
    decimal,
    reading: readFound(
      { ...found, decimalMark: decimal === "comma" ? "," : "." },
      file,
      { ...options, decimal },
      [...how],
    ),
  }));
  const usable = readings.filter(({ reading }) => !reading.problems.some((p) => p.severity === "refused"));
  const [only] = usable;
  if (usable.length === 1 && only !== undefined) {
    const evidence = "read the other way, the table makes no sense";
    return {
      ...only.reading,
      how: only.reading.how.map((g) => (g.option === "decimal" ? { ...g, source: "table", evidence } : g)),
    };
  }
  const [point] = readings;
  if (usable.length === 0 || point === undefined) return readFound(found, file, options, [...how]);
  const choices = readings.map(({ decimal, reading }) => {
    const [one] = reading.measurements;
    const asked = reading.problems.find((p) => p.severity === "question")?.choices?.[0]?.d50Um ?? null;
    return {
      option: "decimal",
      value: decimal,
      d50Um: one === undefined ? asked : sizeAt(curveOf(one.distribution), 0.5),
    };
  });
  return {
    ...refusal(
      file,
      problem(
        "question",
        "Every number with a mark has three digits behind it, so 1,234 can be a little more than one or a thousand. Say whether the decimal mark is a point or a comma.",
        {
          file,
          found: "numbers such as 1,234 or 1.234 only",
          expected: "point, comma",
          effect: choices
            .map(
              (c) =>
                `${c.value}: D50 ${c.d50Um === null ? "not known" : `${Number(c.d50Um.toPrecision(4))} µm`}`,
            )
            .join("; "),
          choices,
        },
      ),
    ),
    how: point.reading.how.filter((guess) => guess.option !== "decimal"),
  };
}

function readFound(
  found: Cells,
  file: string | null,
  options: ReadingOptions,
  how: Guess[],
  onProgress: Progress = () => {},
): Reading {
  how.push({
    option: "decimal",
    value: found.decimalMark === "," ? "comma" : "point",
    source: options.decimal === undefined ? "table" : "option",
    evidence:
      options.decimal === undefined ? "it leaves the most numbers and the fewest words" : "your answer",
  });
  if (found.tooLarge !== null) return { ...refusal(file, tooLarge(found.tooLarge, file)), how };
  const torn = tornByCommas(found, file);
  if (torn !== null) return { ...refusal(file, torn), how };
  const perSheet = sheetsIn(found.cells).map(({ sheet, cells }) => ({
    sheet,
    isEmpty: cells.every(isBlank),
    ...findTables({ cells, mark: found.decimalMark }, options.layout),
  }));
  const blocks = perSheet.flatMap(({ sheet, blocks: ofSheet }) => ofSheet.map((block) => ({ block, sheet })));
  const instead = perSheet.flatMap((one) => [
    ...one.problems.map((p) => inSheet(p, one.sheet)),
    ...(one.sheet !== null && one.blocks.length + one.problems.length === 0 && !one.isEmpty
      ? [noTableIn(one.sheet)]
      : []),
  ]);
  if (blocks.length === 0)
    return {
      ...refusal(
        file,
        ...(instead.some((p) => p.severity !== "note")
          ? instead.map((p) => ({ ...p, file }))
          : [noTable(found, file)]),
      ),
      how,
    };
  const problems: Problem[] = instead.map((p) => ({ ...p, file }));
  const measurements: NamedMeasurement[] = [];
  const questions: OpenQuestion[] = [];
  const names = new Map<string, number>();
  const seen = new Set<string>();
  let total = 0;
  let stated: HowMeasured = {};
  const outcomes: Outcome[] = [];
  for (const [i, { block, sheet }] of blocks.entries()) {
    const one = readBlock(block, {
      file,
      mark: found.decimalMark,
      options,
      names,
      stated,
      onProgress: (share) => onProgress(tablesShare + (1 - tablesShare) * ((i + share) / blocks.length)),
    });
    total += one.total;
    stated = one.stated;
    measurements.push(...one.measurements);
    problems.push(...one.problems.map((p) => inSheet(p, sheet)));
    questions.push(...one.questions.map((q) => ({ ...q, at: inSheet(q.at, sheet) })));
    for (const outcome of one.outcomes)
      outcomes.push({ ...outcome, problems: outcome.problems.map((p) => inSheet(p, sheet)) });
    for (const guess of one.how) {
      if (seen.has(guess.option)) continue;
      seen.add(guess.option);
      how.push(guess);
    }
  }
  if (blocks.length > 1 && total > 1)
    problems.unshift(
      problem(
        "note",
        `${blocks.length} tables found${blocks[0]?.block.layout === "long" ? ", one a sample" : ""}: ${total} measurements.`,
        { file },
      ),
    );
  problems.push(...notNamed(options, names, file));
  const isSilent =
    measurements.length + questions.length === 0 && !problems.some((p) => p.severity !== "note");
  if (isSilent) problems.push(noValues(blocks[0]?.block.sizes[0]?.[0]?.row ?? null, file));
  return {
    file,
    measurements,
    problems: [...sayOnce(problems, total), ...askOnce(questions, total)],
    how,
    outcomes,
    notes: blocks.flatMap(({ block }) => block.notes),
  };
}

/** Rows and columns are counted in the sheet, where the file has several. */
function inSheet<T extends object>(at: T, sheet: string | null): T & { readonly sheet?: string } {
  return sheet === null ? at : { ...at, sheet };
}

function noTableIn(sheet: string): Problem {
  return { ...problem("note", `The sheet "${sheet}" holds no table of sizes and was left out.`), sheet };
}

/** A name that was asked for and is not there. */
function notNamed(
  options: ReadingOptions,
  names: ReadonlyMap<string, number>,
  file: string | null,
): Problem[] {
  const all = [...names].flatMap(([name, count]) =>
    Array.from({ length: count }, (_, i) => (i === 0 ? name : `${name} (${i + 1})`)),
  );
  return (options.only ?? [])
    .filter((name) => !all.includes(name))
    .map((name) =>
      problem("refused", `There is no measurement named ${name}. The table has ${all.join(", ")}.`, {
        file,
        measurement: name,
        found: all.join(", "),
        expected: name,
      }),
    );
}

function tooLarge(found: string, file: string | null): Problem {
  return problem(
    "refused",
    `The table has ${found}, more than is read at once. Bring it in in parts of at most 20,000 columns and 200,000 rows.`,
    {
      file,
      found,
      expected: "at most 20,000 columns and 200,000 rows",
    },
  );
}

/** Twice as many cells as the heading has: the commas between fields are inside the numbers too. */
function tornByCommas({ cells, delimiter, decimalMark }: Cells, file: string | null): Problem | null {
  if (delimiter !== "," || decimalMark !== ".") return null;
  const isWhole = (cell: string) => /^[+-]?\d+$/.test(cell);
  const r = cells.findIndex(
    (row, i) =>
      row.length >= 2 &&
      row.every((cell) => cell !== "" && !/^\d/.test(cell)) &&
      (cells[i + 1] ?? []).every(isWhole),
  );
  const width = cells[r]?.length ?? 0;
  const below = cells.slice(r + 1).filter((row) => row.some((cell) => cell !== ""));
  if (r < 0 || below.length < 2 || !below.every((row) => row.length === 2 * width && row.every(isWhole)))
    return null;
  return problem(
    "refused",
    `Each row has ${2 * width} cells under ${width} headings: the commas stand between the fields and inside the numbers. Save the table with semicolons or tabs between the fields, or put the numbers in quotes.`,
    {
      file,
      row: r + 2,
      found: `${2 * width} cells`,
      expected: `${width} cells`,
    },
  );
}

function noValues(row: number | null, file: string | null): Problem {
  return problem(
    "refused",
    `The table${row === null ? "" : ` at row ${row}`} has sizes, but no column of shares beside them could be read. Give a number for each size.`,
    {
      file,
      row,
      found: "sizes without shares",
      expected: "a share for each size",
    },
  );
}

function noTable(found: Cells, file: string | null): Problem {
  const r = found.cells.findIndex((row) => row.some((c) => c !== ""));
  return problem(
    "refused",
    "No table was found: no row holds a size and a share. Give sizes in the first column and shares beside them, or sizes across the top; with decimal commas set a semicolon or tab between the fields.",
    {
      file,
      row: r + 1,
      column: 1,
      found: (found.cells[r]?.filter((c) => c !== "").join(" ") ?? "").slice(0, 80),
      expected: "rows of numbers",
    },
  );
}
