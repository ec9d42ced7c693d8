import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { isBlank } from "#distributions/tables/layout/block.ts";
import { findTables } from "#distributions/tables/layout/findTables.ts";
import {
  noTable,
  noTableIn,
  notNamed,
  noValues,
  tooLarge,
  tornByCommas,
} from "#distributions/tables/saying/refusals.ts";
import type { Cells } from "#distributions/tables/text/delimited.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { MeasurementOutcome } from "#distributions/tables/values/outcomes.ts";
import { askOnce, type OpenQuestion, sayOnce } from "#distributions/tables/values/questions.ts";
import { sheetsIn } from "#distributions/tables/workbook/sheets.ts";
import type { Guess } from "./guess.ts";
import { type Progress, readBlock } from "./readBlock.ts";
import { type Reading, refusal } from "./reading.ts";
import type { TableReading } from "./tableReading.ts";

/** What finding the tables is of the whole work; measured on 10,000 columns. */
const tablesShare = 0.5;

/** Every table in the cells of a file, sheet by sheet; `how` holds what was decided to take them apart, and is added to. */
export function readTablesIn(
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
  let stated: MeasurementMetadata = {};
  const outcomes: MeasurementOutcome[] = [];
  const tables: TableReading[] = [];
  for (const [i, { block, sheet }] of blocks.entries()) {
    const one = readBlock(block, {
      file,
      mark: found.decimalMark,
      options,
      names,
      stated,
      onProgress: (share) => onProgress(tablesShare + (1 - tablesShare) * ((i + share) / blocks.length)),
    });
    tables.push(inSheet(one.table, sheet));
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
    tables,
    notes: blocks.flatMap(({ block }) => block.notes),
  };
}

/** Rows and columns are counted in the sheet, where the file has several. */
function inSheet<T extends object>(at: T, sheet: string | null): T & { readonly sheet?: string } {
  return sheet === null ? at : { ...at, sheet };
}
