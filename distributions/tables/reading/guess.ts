import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

/** One thing that had to be decided to read the table, and on what evidence. */
export interface Guess {
  readonly option: keyof ReadingOptions;
  readonly value: string;
  readonly source: "option" | "table" | "assumed";
  readonly evidence: string;
}
