import { itemAt } from "#distributions/lists.ts";
import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { type Block, type Grid, isBlank } from "#distributions/tables/layout/block.ts";
import { findTables } from "#distributions/tables/layout/findTables.ts";
import { tallTable } from "#distributions/tables/layout/tallTable.ts";
import { wideTables } from "#distributions/tables/layout/wideTable.ts";
import {
  noTable,
  noTableIn,
  notNamed,
  noValues,
  tooLarge,
  tornByCommas,
} from "#distributions/tables/saying/refusals.ts";
import type { TakenApart } from "#distributions/tables/text/delimiterAndDecimalMark.ts";
import type { DecimalMark } from "#distributions/tables/text/numbers.ts";
import type { NumberTable } from "#distributions/tables/text/numberTable.ts";
import { Parsed } from "#distributions/tables/text/parsed.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { rolesIn } from "#distributions/tables/text/roles.ts";
import { askOnce, sayOnce } from "#distributions/tables/values/questions.ts";
import { sheetsIn } from "#distributions/tables/workbook/sheets.ts";
import type { Progress } from "./blockContext.ts";
import type { Guess } from "./guess.ts";
import { type BlockReading, readBlock } from "./readBlock.ts";
import { type Reading, refusal } from "./reading.ts";
import type { UsedNames } from "./seriesNames.ts";

/** What finding the tables is of the whole work; measured on 10,000 columns. */
const tablesShare = 0.5;

interface FileContext {
  readonly file: string | null;
  readonly options: ReadingOptions;
  /** What was decided to take the cells apart. */
  readonly how?: readonly Guess[];
  readonly onProgress?: Progress;
}

/** Every table in the cells of a file, sheet by sheet. */
export function readTablesIn(found: TakenApart, context: FileContext): Reading {
  const { file, options } = context;
  const apart = [...(context.how ?? []), markGuess(found.decimalMark, options)];
  if (found.tooLarge !== null) return { ...refusal(file, tooLarge(found.tooLarge, file)), how: apart };
  const torn = tornByCommas(found, file);
  if (torn !== null) return { ...refusal(file, torn), how: apart };
  const parsed = new Parsed(found.decimalMark);
  const { blocks, instead } = blocksIn(found.cells, parsed, context);
  if (blocks.length === 0) {
    const isSaid = instead.some((p) => p.severity !== "note");
    return { ...refusal(file, ...(isSaid ? instead : [noTable(found, file)])), how: apart };
  }
  return readingOf({ blocks, instead, parsed, apart }, context);
}

/** The same of a table of numbers whose cells need not be taken out; null where they must be. */
export function readNumberTable(table: NumberTable, context: FileContext): Reading | null {
  const parsed = new Parsed(".");
  const tall = table.isNamed ? tallTable(table, parsed) : null;
  const found = table.isNamed ? (tall === null ? [] : [tall]) : (wideTables(table, parsed) ?? []);
  const blocks = found.map((block) => ({ block, sheet: null }));
  if (blocks.length === 0) return null;
  const apart = [...(context.how ?? []), markGuess(".", context.options)];
  return readingOf({ blocks, instead: [], parsed, apart }, context);
}

interface Tables {
  readonly blocks: readonly SheetBlock[];
  /** What is said where there is none. */
  readonly instead: readonly Problem[];
  readonly parsed: Parsed;
  /** What was decided to take the cells apart. */
  readonly apart: readonly Guess[];
}

/** What the tables of a file hold, read one after another. */
function readingOf({ blocks, instead, parsed, apart }: Tables, context: FileContext): Reading {
  const { file, options } = context;
  const read = readBlocks(blocks, parsed, context);
  const measurements = read.flatMap((one) => one.measurements);
  const questions = read.flatMap((one) => one.questions);
  const total = read.reduce((sum, one) => sum + one.total, 0);
  const problems: Problem[] = [
    ...(blocks.length > 1 && total > 1 ? [severalTables(blocks, total, file)] : []),
    ...instead,
    ...read.flatMap((one) => one.problems),
    ...notNamed(options, itemAt(read, -1).names, file),
  ];
  const isSilent =
    measurements.length + questions.length === 0 && !problems.some((p) => p.severity !== "note");
  const silent = isSilent ? [noValues(blocks[0]?.block.sizes[0]?.[0]?.row ?? null, file)] : [];
  return {
    file,
    measurements,
    problems: [...sayOnce([...problems, ...silent], total), ...askOnce(questions, total)],
    how: [...apart, ...firstOfEach(read.flatMap((one) => one.how))],
    outcomes: read.flatMap((one) => one.outcomes),
    tables: read.map((one) => one.table),
    notes: blocks.flatMap(({ block }) => block.notes),
  };
}

function gridOf(cells: Grid["cells"], parsed: Parsed, options: ReadingOptions): Grid {
  const said = options.roles === undefined ? null : rolesIn(options.roles);
  return said === null ? { cells, parsed } : { cells, parsed, roles: said };
}

interface SheetBlock {
  readonly block: Block;
  readonly sheet: string | null;
}

/** The tables of every sheet, and what is said where there is none. */
function blocksIn(
  all: Grid["cells"],
  parsed: Parsed,
  { file, options }: FileContext,
): { blocks: readonly SheetBlock[]; instead: readonly Problem[] } {
  const perSheet = sheetsIn(all).map(({ sheet, cells, hidden }) => ({
    sheet,
    hidden,
    isEmpty: cells.every(isBlank),
    ...findTables(gridOf(cells, parsed, options), options.layout, options.unit),
  }));
  const blocks = perSheet.flatMap(({ sheet, blocks: ofSheet }) => ofSheet.map((block) => ({ block, sheet })));
  const instead = perSheet.flatMap((one) => [
    ...one.problems.map((p) => inSheet(p, one.sheet)),
    ...(one.hidden === undefined ? [] : [inSheet(hiddenRead(one.hidden), one.sheet)]),
    ...(one.sheet !== null && one.blocks.length + one.problems.length === 0 && !one.isEmpty
      ? [noTableIn(one.sheet)]
      : []),
  ]);
  return { blocks, instead: instead.map((p) => ({ ...p, file })) };
}

/** Each table in turn, its places counted in its sheet. One that states nothing of how it was measured goes by the one before. */
function readBlocks(
  blocks: readonly SheetBlock[],
  parsed: Parsed,
  { file, options, onProgress = () => {} }: FileContext,
): BlockReading[] {
  let stated: MeasurementMetadata = {};
  let names: UsedNames = new Map();
  return blocks.map(({ block, sheet }, i) => {
    const one = readBlock(block, {
      file,
      parsed,
      isOnlyTable: blocks.length === 1,
      options,
      names,
      stated,
      onProgress: (share) => onProgress(tablesShare + (1 - tablesShare) * ((i + share) / blocks.length)),
    });
    stated = one.stated;
    names = one.names;
    const placed = (problems: readonly Problem[]) => problems.map((p) => inSheet(p, sheet));
    return {
      ...one,
      table: inSheet(one.table, sheet),
      problems: placed(one.problems),
      questions: one.questions.map((q) => ({ ...q, at: inSheet(q.at, sheet) })),
      outcomes: one.outcomes.map((outcome) => ({ ...outcome, problems: placed(outcome.problems) })),
    };
  });
}

function markGuess(decimalMark: DecimalMark, { decimal }: ReadingOptions): Guess {
  return {
    option: "decimal",
    value: decimalMark === "," ? "comma" : "point",
    source: decimal === undefined ? "table" : "option",
    evidence: decimal === undefined ? "it leaves the most numbers and the fewest words" : "your answer",
  };
}

/** What was decided first of each thing. */
function firstOfEach(how: readonly Guess[]): Guess[] {
  const first = new Map<string, Guess>();
  for (const guess of how) if (!first.has(guess.option)) first.set(guess.option, guess);
  return [...first.values()];
}

function hiddenRead(hidden: string): Problem {
  return problem(
    "note",
    `The workbook hides ${hidden}: it was read as all else is. Take it out of the workbook if it does not belong to the table.`,
    { found: hidden },
  );
}

function severalTables(blocks: readonly SheetBlock[], total: number, file: string | null): Problem {
  const each = blocks[0]?.block.layout === "long" ? ", one a sample" : "";
  return problem("note", `${blocks.length} tables found${each}: ${total} measurements.`, { file });
}

/** Rows and columns are counted in the sheet, where the file has several. */
function inSheet<T extends object>(at: T, sheet: string | null): T & { readonly sheet?: string } {
  return sheet === null ? at : { ...at, sheet };
}
