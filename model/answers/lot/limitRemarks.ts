import type { RowCheck } from "#model/band/band.ts";
import { limitBeyond, limitWords, nameInside, quantityText, rangeText } from "#model/band/limits.ts";
import { bandChanceText, capital, listed } from "#model/words/wording.ts";

/** A row whose value is known. */
export type KnownRow = RowCheck & { readonly value: number };

export function valueText(row: KnownRow): string {
  const name = nameInside(row);
  return `${capital(name)}${name.startsWith("the ") ? " of" : ""} ${measuredText(row)}`;
}

/** "3.41 µm (3.37–3.45)" */
function measuredText(row: KnownRow): string {
  const interval = row.interval === null ? "" : ` (${rangeText(row, row.interval, digitsApart(row))})`;
  return `${quantityText(row, row.value, digitsApart(row))}${interval}`;
}

const minDigits = 3;
const maxDigits = 7;

/** As many figures as tell a value from the limits it is not equal to. */
function digitsApart(row: KnownRow): number {
  const { value, low, high } = row;
  const limits = [low, high].filter((limit) => limit !== null && limit !== value).filter((v) => v !== null);
  const isApart = (digits: number) =>
    limits.every((limit) => quantityText(row, limit, digits) !== quantityText(row, value, digits));
  let digits = minDigits;
  while (digits < maxDigits && !isApart(digits)) digits++;
  return digits;
}

export function singleText(row: KnownRow): string {
  const side = limitBeyond(row.value, row);
  return side === null ? "is within its limits" : beyondText(row, side);
}

function beyondText(row: KnownRow, side: "low" | "high"): string {
  return `is ${side === "high" ? "above" : "below"} its ${limitText(row, side)}`;
}

/** "upper limit of 6.25 µm" */
function limitText(row: KnownRow, side: "low" | "high"): string {
  const limit = side === "high" ? row.high : row.low;
  return `${side === "high" ? "upper" : "lower"} limit${limit === null ? "" : ` of ${quantityText(row, limit, digitsApart(row))}`}`;
}

export function whereText(row: KnownRow): string {
  const { value, probability } = row;
  const side = limitBeyond(value, row) ?? nearerSide(row);
  const chance = probability === null ? "" : `: ${bandChanceText(probability)}`;
  if (row.verdict === "on the edge") return `is too close to its ${limitText(row, side)} to call${chance}`;
  return `${beyondText(row, side)}${chance}`;
}

/** The guarded rule alone calls a row out of band whose mean lies inside: its interval does not. */
export function isGuardedOnly(row: KnownRow): boolean {
  return row.verdict === "out of band" && limitBeyond(row.value, row) === null;
}

export function guardedText(rows: readonly KnownRow[]): string {
  if (rows.length === 0) return "";
  const parts = rows.map((row) => {
    const chance = row.probability === null ? "" : ` (${bandChanceText(row.probability)})`;
    return `${nameInside(row)} ${measuredText(row)} has an interval beyond its ${limitText(row, nearerSide(row))}${chance}`;
  });
  return `Under the guarded rule ${listed(parts)}: that does not show it to be in band.`;
}

/** The limits that are not told one by one, by their names. */
export function otherLimitsText(rows: readonly KnownRow[]): string {
  if (rows.length === 0) return "";
  const names = capital(listed(rows.map(nameInside)));
  const isAllOut = rows.every((row) => row.verdict === "out of band");
  return `${names} ${rows.length === 1 ? "is" : "are"} also not met${isAllOut ? "" : " or too close to call"}.`;
}

function nearerSide({ value, low, high }: KnownRow): "low" | "high" {
  const isHighNearer = high !== null && (low === null || Math.abs(value - high) < Math.abs(value - low));
  return isHighNearer ? "high" : "low";
}

/** The limit that a lot in band comes nearest to, so that its reader knows where the room is small. */
export function closestText(rows: readonly KnownRow[]): string {
  const rooms = rows.flatMap((row) => {
    const { value, low, high } = row;
    if (low === null || high === null || row.limit === "d50Um") return [];
    return [{ row, limits: { low, high }, room: Math.min(value - low, high - value) / (high - low) }];
  });
  const [least] = rooms.sort((a, b) => a.room - b.room);
  return least === undefined
    ? ""
    : `The narrowest margin is that of ${nameInside(least.row)}: ${measuredText(least.row)}, limits ${`${rangeText(least.row, least.limits)} ${limitWords(least.row).unit}`.trim()}.`;
}
