const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** A day as nobody mistakes it: "2026-11-26" as "26 Nov 2026"; what is no such day stays as it is. */
export function writtenDay(day: string): string {
  const [, year, month, ofMonth] = /^(\d{4})-(\d\d)-(\d\d)$/.exec(day) ?? [];
  const name = months[Number(month) - 1];
  return year === undefined || name === undefined ? day : `${Number(ofMonth)} ${name} ${year}`;
}
