const day = { day: "numeric", month: "short", year: "numeric" } as const;

/** A day as nobody mistakes it: "26 Nov 2026". A day without an hour is that day everywhere; what is no day stays as it is. */
export function dayText(at: string): string {
  const date = new Date(at);
  if (Number.isNaN(date.getTime())) return at;
  const isWholeDay = /^\d{4}-\d\d-\d\d$/.test(at);
  return date.toLocaleDateString("en-GB", isWholeDay ? { ...day, timeZone: "UTC" } : day);
}

/** The same with the time on the reader's clock: "26 Nov 2026, 14:05". */
export function momentText(at: string): string {
  if (Number.isNaN(Date.parse(at))) return "time not known";
  return new Date(at).toLocaleString("en-GB", { ...day, hour: "2-digit", minute: "2-digit" });
}
