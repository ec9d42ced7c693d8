import type { Quantity } from "../measured.ts";
import type { Cell } from "./block.ts";
import type { DecimalMark } from "./numbers.ts";
import type { EdgeOption, ReadingOptions, ScaleOption, ValuesOption } from "./readingOptions.ts";
import type { Sizes } from "./sizes.ts";

/** Something that is settled, by whom, and on what evidence. */
export interface Known<T> {
  readonly value: T;
  readonly source: "option" | "table" | "assumed";
  readonly evidence: string;
}

/** What is known of a series before its values are read; null where the table and the options are silent. */
export interface SeriesContext {
  readonly file: string | null;
  readonly name: string;
  readonly sizes: Sizes;
  readonly sizeCells: readonly Cell[];
  readonly mark: DecimalMark;
  readonly sizeHeading: string;
  /** µm in one unit of the sizes, for densities per unit of size; 1 for phi and mesh. */
  readonly umPerUnit: number;
  readonly isSieve: boolean;
  readonly edge: Known<EdgeOption> | null;
  readonly values: Known<ValuesOption> | null;
  readonly scale: Known<ScaleOption> | null;
  readonly quantity: Known<Quantity> | null;
  readonly options: ReadingOptions;
}

/** What an option says, else what the table says with the evidence for it. */
export function known<T>(
  option: T | undefined,
  ...table: readonly (readonly [T | null, string])[]
): Known<T> | null {
  if (option !== undefined) return { value: option, source: "option", evidence: "your answer" };
  const found = table.find(([value]) => value !== null);
  return found?.[0] == null ? null : { value: found[0], source: "table", evidence: found[1] };
}
