import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import type { UsedNames } from "./seriesNames.ts";

/** What is known before a table is read: of its file, the person's answers, and the tables before it. */
export interface BlockContext {
  readonly file: string | null;
  readonly parsed: Parsed;
  /** Whether the file holds no other table. */
  readonly isOnlyTable: boolean;
  readonly options: ReadingOptions;
  /** How often each name was used before this table. */
  readonly names: UsedNames;
  /** What the table before this one stated of how it was measured. */
  readonly stated: MeasurementMetadata;
  /** Called now and then with the part of the series that are read. */
  readonly onProgress: Progress;
}

/** Told how much of the work is done, 0 … 1, so that whoever waits can see it. */
export type Progress = (share: number) => void;
