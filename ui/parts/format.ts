import { figures as plainFigures } from "#model/words/wording.ts";

const missing = "not known";

/** The space that no line breaks at. */
const tied = "\u00a0";

/** Stands where no line breaks, and takes no room. */
const joiner = "\u2060";

/** Ties every number to its unit, a percentile to its size, and the ends of an interval, so that no line ends between them. */
export function unbroken(text: string): string {
  return text
    .replace(/(\d) (%|µm|nm|m²|m³|g\/|kg|rpm|points)/g, `$1${tied}$2`)
    .replace(/(D\d+) (\d)/g, `$1${tied}$2`)
    .replace(/(\d–)(?=\d)/g, `$1${joiner}`);
}

/** Three significant figures, as every number on screen is shown. */
export function figures(value: number | null): string {
  return value === null ? missing : plainFigures(value);
}

/** A number and its unit; the unit is left out when the number is not known. */
export function withUnit(value: number | null, unit: string): string {
  return value === null ? missing : `${plainFigures(value)}${tied}${unit.replaceAll(" ", tied)}`.trim();
}

/** A share of the whole as per cent. */
export function percent(share: number | null): string {
  return share === null ? missing : `${plainFigures(share * 100)}${tied}%`;
}

/** A change that may go either way, with its sign. */
export function signed(value: number | null, unit: string): string {
  return value === null ? missing : `${value < 0 ? "−" : "+"}${plainFigures(Math.abs(value))}${tied}${unit}`;
}

/** Rounded to whole revolutions per minute, as a mill is set. */
export function rpm(value: number | null): string {
  return value === null ? missing : `${Math.round(value).toLocaleString("en-GB")}${tied}rpm`;
}

/** low–high with one unit. */
export function range(low: number | null, high: number | null, unit: string): string {
  return low === null || high === null
    ? "interval not known"
    : `${plainFigures(low)}–${plainFigures(high)}${tied}${unit}`.trim();
}

/** How long ago, as one says it: "3 s ago", "2 min ago", "4 h ago". */
export function agoText(seconds: number): string {
  if (seconds < 1) return "just now";
  if (seconds < 60) return `${Math.floor(seconds)} s ago`;
  return seconds < 3600 ? `${Math.floor(seconds / 60)} min ago` : `${Math.floor(seconds / 3600)} h ago`;
}
