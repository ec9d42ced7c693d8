import type { Quantity } from "../measured.ts";
import type { DecimalMark } from "./delimited.ts";
import type { Cell } from "./layout.ts";
import type { EdgeOption, ReadingOptions, ScaleOption, ValuesOption } from "./readingOptions.ts";
import type { Sizes } from "./sizes.ts";

/** What is known of a series before its values are read; null where the table and the options are silent. */
export interface SeriesContext {
  readonly file: string | null;
  readonly name: string;
  readonly sizes: Sizes;
  readonly sizeCells: readonly Cell[];
  readonly mark: DecimalMark;
  readonly sizeHeading: string;
  readonly edge: EdgeOption | null;
  readonly values: ValuesOption | null;
  readonly scale: ScaleOption | null;
  readonly quantity: Quantity | null;
  readonly options: ReadingOptions;
}
