/** Beyond this a list is told in short. */
const longest = 24;

/**
 * An answer as text to be held against: numbers to eight digits, which every machine agrees on, and long lists of numbers
 * by their length, ends, middle and mean, so that a change can be read.
 */
export function answerText(value: unknown): string {
  return `${JSON.stringify(value, (_key, part: unknown) => shortened(part), 1)}\n`;
}

function shortened(value: unknown): unknown {
  if (typeof value === "number") return rounded(value);
  if (value instanceof Float64Array) return shortened([...value]);
  if (!Array.isArray(value) || value.length <= longest) return value;
  if (value.every((v) => typeof v === "number")) return inShort(value);
  if (!value.every((v) => typeof v === "object" && v !== null)) return value;
  // A list of like things is told by its columns.
  const rows: Readonly<Record<string, unknown>>[] = value;
  return Object.fromEntries(Object.keys(rows[0] ?? {}).map((key) => [key, rows.map((row) => row[key])]));
}

function inShort(values: readonly number[]): string {
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  const [first, second] = values;
  const middle = values[Math.floor(values.length / 2)];
  return `${values.length} numbers: ${rounded(first)}, ${rounded(second)} … ${rounded(middle)} … ${rounded(values.at(-1))}; mean ${rounded(mean)}`;
}

/** What rounding alone leaves of nothing is nothing. */
function rounded(value = Number.NaN): number | string {
  if (!Number.isFinite(value)) return String(value);
  return Math.abs(value) < 1e-12 ? 0 : Number(value.toPrecision(8));
}
