const moment = {
  day: "numeric",
  month: "short",
  year: "numeric",
  hour: "2-digit",
  minute: "2-digit",
} as const;

/** A day with the time on the reader's clock: "26 Nov 2026, 14:05". */
export function momentText(at: string): string {
  return new Date(at).toLocaleString("en-GB", moment);
}
