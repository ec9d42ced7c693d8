import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { statedLines } from "#distributions/tables/evidence/statedMetadata.ts";
import { statementOf } from "#distributions/tables/evidence/statement.ts";

/** How a copy is written. */
export interface CopyOptions {
  /** Between the fields: a comma (RFC 4180), or a tab for the clipboard. */
  readonly delimiter?: "," | "\t";
  /** Puts an apostrophe before a name that a spreadsheet would run as a formula; numbers are never touched. */
  readonly escapesFormulas?: boolean;
}

/**
 * One measurement as a table that reads back as it was, to the last digit, with how it was measured above it.
 * The share below is a class that starts at 0, the share above a class without an upper edge.
 */
export function writeTable(one: NamedMeasurement, options: CopyOptions = {}): string {
  const { delimiter = ",", escapesFormulas = false } = options;
  const { lowerUm, upperUm, shares, belowShare, aboveShare } = one.distribution;
  const rows: (number | string)[][] = shares.map((share, i) => [lowerUm[i] ?? "", upperUm[i] ?? "", share]);
  if (belowShare > 0) rows.unshift([0, lowerUm[0] ?? "", belowShare]);
  if (aboveShare > 0) rows.push([upperUm.at(-1) ?? "", "", aboveShare]);
  const name = escapesFormulas && /^[=+\-@\t\r]/.test(one.name) ? `'${one.name}` : one.name;
  return [
    statementOf(one.distribution),
    ...statedLines(one.howMeasured).map((line) => quoted(line, delimiter)),
    ["lower_um", "upper_um", quoted(name, delimiter)].join(delimiter),
    ...rows.map((row) => row.join(delimiter)),
    "",
  ].join("\n");
}

/** Several measurements, each as a table of its own with a blank line between. */
export function writeTables(measurements: readonly NamedMeasurement[], options: CopyOptions = {}): string {
  return measurements.map((one) => writeTable(one, options)).join("\n");
}

/** RFC 4180: a field with a delimiter, quote or line break is quoted, a quote doubled. */
function quoted(text: string, delimiter: string): string {
  return /["\r\n]/.test(text) || text.includes(delimiter) ? `"${text.replaceAll('"', '""')}"` : text;
}
