import type { NamePattern } from "#model/intake/namePattern.ts";

const place = "fineband.names";

/** How this browser learned that files are called; null where it learned nothing, or what it keeps is none. */
export function savedPattern(): NamePattern | null {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(place) ?? "null");
    if (typeof found !== "object" || found === null || !("text" in found) || typeof found.text !== "string")
      return null;
    const words =
      "words" in found && typeof found.words === "object" ? Object.entries(found.words ?? {}) : [];
    return { text: found.text, words: Object.fromEntries(words.map(([word, of]) => [word, String(of)])) };
  } catch {
    return null;
  }
}

/** A browser that keeps nothing is no fault. */
export function savePattern(pattern: NamePattern | null): void {
  try {
    if (pattern === null) localStorage.removeItem(place);
    else localStorage.setItem(place, JSON.stringify(pattern));
  } catch {
    // Storage may be full or switched off.
  }
}
