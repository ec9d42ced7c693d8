import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { Series } from "#distributions/tables/layout/block.ts";
import type { Claims } from "#distributions/tables/text/claims.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
import type { Evidence } from "./evidence.ts";
import type { Statement } from "./statement.ts";

/** What the words around a table say of all its series, worked out once. */
export interface SpokenTable {
  /** What the words over the sizes say. */
  readonly sizeClaims: Claims;
  /** Whether the one list of sizes is headed "larger than" or "smaller than". */
  readonly bySide: ValuesOption | null;
  /** Quantities that the heading of every series has a word for. */
  readonly shared: ReadonlySet<Quantity>;
  /** Whether its one series is all that the file holds, so that no name need tell it from another. */
  readonly isAlone: boolean;
  readonly isOfSeveral: boolean;
  /** What the lines around the table say. */
  readonly lines: {
    readonly quantity: readonly Evidence<Quantity>[];
    readonly values: readonly Evidence<ValuesOption>[];
    readonly scale: readonly Evidence<ScaleOption>[];
  };
}

/** One series with everything around it that may speak of it. */
export interface SpokenSeries {
  readonly series: Series;
  readonly parsed: Parsed;
  /** What the series' own words say. */
  readonly claims: Claims;
  /** What the line above a table that Fineband wrote states. */
  readonly own: Statement | null;
  readonly table: SpokenTable;
}
