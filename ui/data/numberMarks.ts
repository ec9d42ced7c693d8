import { signal } from "@preact/signals";

/** How a text with English numbers is shown; as it is until a person chooses other marks (shell/chosenNumbers.ts). */
export const shownAs = signal((text: string) => text);

/** The decimal mark that fields show and expect. */
export const decimalMark = signal(".");

/** The locale whose marks were chosen in this browser; null for English. */
export function chosenLocale(): string | null {
  return localStorage.getItem("numbers");
}

/** A number as a field holds it: its shortest decimals, with the mark chosen, never grouped. */
export function typedText(value: number): string {
  return String(value).replace(".", decimalMark.value);
}
