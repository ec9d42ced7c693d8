const day = { day: "numeric", month: "short", year: "numeric" } as const;

/** A day as nobody mistakes it: "26 Nov 2026". A day without an hour is that day everywhere; what is no day stays as it is. */
export function dayText(at: string): string {
  const date = new Date(at);
  if (Number.isNaN(date.getTime())) return at;
  const isWholeDay = /^\d{4}-\d\d-\d\d$/.test(at);
  return date.toLocaleDateString("en-GB", isWholeDay ? { ...day, timeZone: "UTC" } : day);
}
