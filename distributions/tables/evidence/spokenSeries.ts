import type { Block, Series } from "#distributions/tables/layout/block.ts";
import type { Claims } from "#distributions/tables/text/claims.ts";
import type { DecimalMark } from "#distributions/tables/text/numbers.ts";
import type { Statement } from "./statement.ts";

/** One series with everything around it that may speak of it. */
export interface SpokenSeries {
  readonly series: Series;
  readonly block: Block;
  readonly mark: DecimalMark;
  /** What the series' own words say, and those over the sizes, each taken apart once. */
  readonly claims: Claims;
  readonly sizeClaims: Claims;
  /** What the line above a table that Fineband wrote states. */
  readonly own: Statement | null;
}
