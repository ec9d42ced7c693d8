import { layoutKey } from "#distributions/tables/reading/layoutKey.ts";
import { type ReadingOptions, withAnswer } from "#distributions/tables/text/readingOptions.ts";

const place = "fineband.layouts";
const most = 50;

/** The answers given for layouts so far, newest first, as this browser keeps them. */
function saved(): [string, ReadingOptions][] {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(place) ?? "[]");
    if (!Array.isArray(found)) return [];
    return found.flatMap((entry: unknown): [string, ReadingOptions][] => {
      if (
        !Array.isArray(entry) ||
        typeof entry[0] !== "string" ||
        typeof entry[1] !== "object" ||
        entry[1] === null
      )
        return [];
      let options: ReadingOptions = {};
      for (const [name, value] of Object.entries(entry[1]))
        options = withAnswer(options, name, String(value)) ?? options;
      return [[entry[0], options]];
    });
  } catch {
    return [];
  }
}

/** The answers a table of this layout was given before; null where there are none. */
export function answersFor(text: string): ReadingOptions | null {
  const key = layoutKey(text);
  return key === "" ? null : (saved().find(([k]) => k === key)?.[1] ?? null);
}

/** Keeps the answers for the next table that looks the same. A browser that keeps nothing is no fault. */
export function rememberAnswers(text: string, options: ReadingOptions): void {
  const key = layoutKey(text);
  if (key === "" || Object.keys(options).length === 0) return;
  try {
    const others = saved().filter(([k]) => k !== key);
    localStorage.setItem(place, JSON.stringify([[key, options], ...others].slice(0, most)));
  } catch {
    // Storage may be full or switched off.
  }
}
