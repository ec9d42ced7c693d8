import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";

/** An invented table as a lab could send it, with what the reader must make of it. */
export interface Case {
  readonly name: string;
  /** Row of the list of shapes in the project's brief, or the trap it shows. */
  readonly shape: string;
  readonly table: string | Uint8Array;
  readonly file?: string;
  readonly options?: ReadingOptions;
  /** Measurements with their medians in µm, in order. */
  readonly reads?: Readonly<Record<string, number>>;
  readonly quantity?: Quantity;
  /** Words that the notes must hold: a guess is never silent. */
  readonly notes?: readonly RegExp[];
  /** Options the open questions are about. */
  readonly asks?: readonly string[];
  /** Words of the questions. */
  readonly asksWith?: readonly RegExp[];
  /** Words of the refusals. */
  readonly refuses?: readonly RegExp[];
}

/** Edges of the R 10 series, µm, and an invented host powder between them, % by volume. */
export const edgesUm = [0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3];
export const lowerUm = edgesUm.slice(0, -1);
export const upperUm = edgesUm.slice(1);
export const percent = [1, 2, 5, 9, 14, 18, 19, 15, 10, 5, 2];
export const under = [0, 1, 3, 8, 17, 31, 49, 68, 83, 93, 98, 100];
/** 49 % lie below 2 µm and 68 % below 2.5 µm. */
export const d50Um = 2 * (2.5 / 2) ** (1 / 19);
/** Lists side by side as lines of text. */
export function lines(
  heading: string,
  columns: readonly (readonly (number | string)[])[],
  separator = ",",
  write: (value: number) => string = (value) => String(value),
): string {
  const rows = (columns[0] ?? []).map((_, i) =>
    columns
      .map((column) => {
        const cell = column[i] ?? "";
        return typeof cell === "number" ? write(cell) : cell;
      })
      .join(separator),
  );
  return `${heading === "" ? "" : `${heading}\n`}${rows.join("\n")}\n`;
}

export const comma = (value: number) => String(value).replace(".", ",");
