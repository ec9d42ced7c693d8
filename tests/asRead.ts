/** Digits that a reader of a table or a sentence could ever see. */
const digits = 5;

/** A longer list of numbers is a curve, which is drawn and not read. */
const longest = 12;

/**
 * An answer as a person would read it: a line for each number with its name and interval, a table for each list of like
 * things, and every sentence as it stands. Curves and functions are left out: what they must be is said by named checks.
 */
export function asRead(value: unknown): string {
  return `${linesOf("", value).join("\n")}\n`;
}

function linesOf(name: string, value: unknown): string[] {
  const text = cell(value);
  if (text !== null) return [name === "" ? text : `${name}: ${text}`];
  if (!isReadable(value)) return [];
  if (Array.isArray(value)) return listLines(name, value);
  return entriesOf(value).flatMap(([key, part]) => linesOf(joined(name, key), part));
}

function listLines(name: string, list: readonly unknown[]): string[] {
  const rows = list.map((item) => entriesOf(item).filter(([, part]) => isReadable(part)));
  const isTable = rows.every((row) => row.length > 0 && row.every(([, part]) => cell(part) !== null));
  if (!isTable) return list.flatMap((item, i) => linesOf(joined(name, String(i + 1)), item));
  const heading = [...new Set(rows.flatMap((row) => row.map(([key]) => key)))];
  return [
    `${name}: ${heading.join(" | ")}`,
    ...rows.map((row) => `  ${heading.map((key) => cell(Object.fromEntries(row)[key]) ?? "").join(" | ")}`),
  ];
}

function joined(name: string, key: string): string {
  return name === "" ? key : `${name} ${key}`;
}

function entriesOf(value: unknown): [string, unknown][] {
  return typeof value === "object" && value !== null && !Array.isArray(value) ? Object.entries(value) : [];
}

/** Neither a curve nor a function, nor something that holds nothing else. */
function isReadable(value: unknown): boolean {
  if (typeof value === "function" || value === undefined || ArrayBuffer.isView(value)) return false;
  if (Array.isArray(value))
    return value.length > 0 && !(value.length > longest && value.every((v) => typeof v === "number"));
  if (typeof value === "object" && value !== null)
    return !("edgesUm" in value && "undersize" in value) && Object.values(value).some(isReadable);
  return true;
}

/** What stands in one cell of a table; null for what takes more than one. */
function cell(value: unknown): string | null {
  if (value === null) return "–";
  if (typeof value === "number") return numberText(value);
  if (typeof value === "string" || typeof value === "boolean") return String(value);
  if (Array.isArray(value)) {
    const cells = value.length > longest ? [] : value.map(cell);
    return cells.length > 0 && cells.every((c) => c !== null && !/ /.test(c)) ? cells.join(", ") : null;
  }
  const {
    low,
    high,
    level,
    value: mean,
    interval,
    median = mean,
    middle = median,
    ...rest
  } = Object.fromEntries(entriesOf(value));
  if (Object.keys(rest).length > 0 || middle === undefined) return null;
  const range = interval === undefined ? rangeText(low, high, level) : intervalText(interval);
  return `${cell(middle)}${range}`;
}

function intervalText(interval: unknown): string {
  const { low, high, level } = Object.fromEntries(entriesOf(interval));
  return rangeText(low, high, level);
}

function rangeText(low: unknown, high: unknown, level: unknown): string {
  if (low === undefined || high === undefined) return "";
  return ` (${cell(low)} to ${cell(high)}${typeof level === "number" ? `, ${Math.round(100 * level)} %` : ""})`;
}

/** What rounding alone leaves of nothing is nothing. */
function numberText(value: number): string {
  if (!Number.isFinite(value)) return String(value);
  return Math.abs(value) < 1e-9 ? "0" : String(Number(value.toPrecision(digits)));
}
