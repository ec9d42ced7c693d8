/** Nobody reads a number with more decimals than this. */
const maxDecimals = 12;

/** U+2212: a hyphen is not a minus sign. */
const minus = "−";

/**
 * Three significant figures in plain decimals, as every number in a sentence is written.
 *
 * @example figures(3.14159) // "3.14"
 * @example figures(1234.5)  // "1,235"
 */
export function figures(value: number, digits = 3): string {
  if (value === 0) return "0";
  // Rounded first, so that 9.996 has three figures and not four.
  const size = Math.floor(Math.log10(Math.abs(Number(value.toPrecision(digits)))));
  if (size >= digits) return Math.round(value).toLocaleString("en-GB").replace("-", minus);
  return value.toFixed(Math.min(Math.max(digits - 1 - size, 0), maxDecimals)).replace("-", minus);
}

/** A misfit or gap as nobody can measure it finer: "less than 0.001". */
export function misfitText(value: number, digits = 3): string {
  return value < leastMisfit ? `less than ${leastMisfit}` : figures(value, digits);
}

const leastMisfit = 0.001;

/** A number with its sign, a true minus. */
export function signedFigures(value: number): string {
  return `${value < 0 ? minus : "+"}${figures(Math.abs(value))}`;
}

/** A share as per cent, never more certain than "over 99 %". */
export function chanceText(share: number): string {
  if (share > 0.99) return "over 99 %";
  if (share < 0.01) return "under 1 %";
  return `${Math.round(share * 100)} %`;
}

/** What a single limit or a whole lot has, on screen and in the answers. */
export const bandChance = "chance of being in band";

/** The same in reports, which use the standard's term (JCGM 106). */
const conformance = "probability of conformance";

/** "65 % chance of being in band" */
export function bandChanceText(share: number): string {
  return `${chanceText(share)} ${bandChance}`;
}

/** A sentence of an answer as a report prints it. */
export function inReportWords(sentence: string): string {
  return sentence.replaceAll(bandChance, conformance);
}

const counts = [
  "no",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
];

/** A count in words up to twelve. */
export function countWord(count: number): string {
  return counts[count] ?? String(count);
}

/** A count in words up to twelve, with its noun. */
export function counted(count: number, noun: string): string {
  return `${countWord(count)} ${noun}${count === 1 ? "" : "s"}`;
}

/** A sentence begins with a capital. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** a, b and c. */
export function listed(parts: readonly string[]): string {
  return parts.length < 2 ? (parts[0] ?? "") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
}
