import type { NamedMeasurement } from "../measured.ts";

/**
 * One measurement as a table that reads back as it was, to the last digit.
 * The share below is a class that starts at 0, the share above a class without an upper edge.
 */
export function writeTable(one: NamedMeasurement): string {
  const { lowerUm, upperUm, shares, belowShare, aboveShare, quantity } = one.distribution;
  const rows = shares.map((share, i) => `${lowerUm[i]},${upperUm[i]},${share}`);
  if (belowShare > 0) rows.unshift(`0,${lowerUm[0]},${belowShare}`);
  if (aboveShare > 0) rows.push(`${upperUm.at(-1)},,${aboveShare}`);
  return [
    `share of each class by ${quantity} as fraction`,
    `lower_um,upper_um,${quoted(one.name)}`,
    ...rows,
    "",
  ].join("\n");
}

/** RFC 4180: a field with a comma, quote or line break is quoted, a quote doubled. */
function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
