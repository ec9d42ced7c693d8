/** A day as 2026-11-30 from the ways people write one; null where it is none, or can be two. */
export function dayIn(text: string): string | null {
  const plain = text.trim().replace(/[T ]\d{1,2}:\d{2}.*$/, "");
  const byYear = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/.exec(plain);
  if (byYear !== null) return dayOf(byYear[1], byYear[2], byYear[3]);
  const [, first, sign, second, year] = /^(\d{1,2})([./-])(\d{1,2})[./-](\d{4})$/.exec(plain) ?? [];
  if (first === undefined || second === undefined) return null;
  // With points the day stands first; with other signs it may stand second.
  if (sign === "." || Number(first) > 12 || first === second) return dayOf(year, second, first);
  return Number(second) > 12 ? dayOf(year, first, second) : null;
}

function dayOf(year = "", month = "", day = ""): string | null {
  const text = `${year}-${month.padStart(2, "0")}-${day.padStart(2, "0")}`;
  const date = new Date(`${text}T00:00:00Z`);
  return Number.isNaN(date.getTime()) || date.toISOString().slice(0, 10) !== text ? null : text;
}
