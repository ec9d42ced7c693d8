import { setImmediate } from "node:timers/promises";
import { sha256 } from "#api/records/checksum.ts";
import type { FiledRun, FiledTable, RunToPlace } from "#api/store/entries/intake.ts";
import { mergedMetadata, type PartialMetadata } from "#distributions/measurementMetadata.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { decode } from "#distributions/tables/text/decode.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { isWorkbook, workbookText } from "#distributions/tables/workbook/workbook.ts";
import { curveMark } from "#model/intake/curveMark.ts";

/** A file as received. */
export interface FileReceived {
  readonly file: string | null;
  readonly bytes: Uint8Array;
  readonly options: ReadingOptions;
  readonly howMeasured?: PartialMetadata;
}

/** What was read of it. */
export interface FileRead extends FileReceived {
  readonly text: string;
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
}

/** Reads a file; between files others are heard. */
export async function readReceived(received: FileReceived): Promise<FileRead> {
  await setImmediate();
  const { file, bytes, options, howMeasured = {} } = received;
  const workbook = isWorkbook(bytes) ? await workbookText(bytes) : null;
  if (workbook !== null && typeof workbook !== "string")
    return { ...received, text: "", measurements: [], problems: [{ ...workbook, file }] };
  const { measurements, problems } = readTable(workbook ?? bytes, file, options);
  return {
    ...received,
    text: workbook ?? decode(bytes, options.encoding).text,
    measurements: measurements.map((one) => mergedMetadata(one, howMeasured)),
    problems,
  };
}

/** The measurements of a file as they are asked about: their names, and what they are known again by. */
export function runsToPlace({ file, bytes, measurements }: FileRead): RunToPlace[] {
  const hash = sha256(bytes);
  return measurements.map(({ name, distribution }) => ({
    file,
    name,
    sha256: hash,
    mark: curveMark(distribution),
  }));
}

/** Where a measurement of a table is to go, by its name in the table. */
export interface RunToFile extends Omit<FiledRun, "measurement"> {
  readonly name: string;
}

/**
 * A table with the runs that are to be saved of it.
 *
 * @returns  the problems where one of them cannot be read of it
 */
export function filedTable(read: FileRead, runs: readonly RunToFile[]): FiledTable | readonly Problem[] {
  const byName = new Map(read.measurements.map((one) => [one.name, one]));
  const filed = runs.flatMap(({ name, ...place }): FiledRun[] => {
    const measurement = byName.get(name);
    return measurement === undefined ? [] : [{ measurement, ...place }];
  });
  if (filed.length === runs.length) {
    const { file, text, bytes, options } = read;
    return { file, text, bytes, options, runs: filed };
  }
  const missing = runs.filter(({ name }) => !byName.has(name)).map(({ name }) => `"${name}"`);
  const asked = read.problems.filter(({ severity }) => severity !== "note");
  return asked.length > 0
    ? asked.map((one) => ({ ...one, file: one.file ?? read.file }))
    : [
        problem("refused", `No measurement is called ${missing.join(", ")}.`, {
          file: read.file,
          found: [...byName.keys()].map((name) => `"${name}"`).join(", ") || "none",
          expected: "the names as the table is read with these options",
        }),
      ];
}

export const isFiled = (one: FiledTable | readonly Problem[]): one is FiledTable => "runs" in one;
