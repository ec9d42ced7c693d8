const missing = "not known";

/** Three significant figures in plain decimals, as every number on screen is shown. */
export function figures(value: number | null, digits = 3): string {
  if (value === null) return missing;
  if (value === 0) return "0";
  const size = Math.floor(Math.log10(Math.abs(value)));
  if (size >= digits) return Math.round(value).toLocaleString("en-GB");
  return value.toFixed(Math.min(Math.max(digits - 1 - size, 0), 6));
}

/** A number and its unit; the unit is left out when the number is not known. */
export function withUnit(value: number | null, unit: string): string {
  return value === null ? missing : unit === "" ? figures(value) : `${figures(value)} ${unit}`;
}

/** A share of the whole as per cent. */
export function percent(share: number | null): string {
  return share === null ? missing : `${figures(share * 100)} %`;
}

/** A change that may go either way, with its sign. */
export function signed(value: number | null, unit: string): string {
  if (value === null) return missing;
  return `${value < 0 ? "−" : "+"}${figures(Math.abs(value))} ${unit}`;
}

/** Rounded to whole revolutions per minute, as a mill is set. */
export function rpm(value: number | null): string {
  return value === null ? missing : `${Math.round(value).toLocaleString("en-GB")} rpm`;
}

/** low–high with one unit, or null where either end is open. */
export function range(low: number | null, high: number | null, unit: string): string {
  return low === null || high === null ? "interval not known" : `${figures(low)}–${figures(high)} ${unit}`.trim();
}
