import { zip } from "#distributions/lists.ts";

/** Words without what they all begin with: "Garnet host, lot 07" among its like is "07". */
export function shortNames(names: readonly string[]): readonly string[] {
  const [first = ""] = names;
  let length = 0;
  while (names.length > 1 && length < first.length && names.every((n) => n[length] === first[length]))
    length++;
  // A number is not cut in two.
  while (length > 0 && /\d/.test(first[length - 1] ?? "")) length--;
  return names.map((name) => name.slice(length).trim() || name);
}

/** Numbers as text of one length, so that their decimal marks stand under each other in a column. */
export function alignedFigures(values: readonly (number | null)[], text: (v: number) => string): string[] {
  const texts = values.map((v) => (v === null ? "–" : text(v)));
  const decimals = texts.map((t) => (t.includes(".") ? t.length - t.indexOf(".") - 1 : 0));
  const most = Math.max(0, ...decimals);
  // A figure space is as wide as a digit, a punctuation space as the mark.
  return zip(texts, decimals).map(([t, n]) =>
    t === "–" || n === most ? t : `${t}${n === 0 ? "\u2008" : ""}${"\u2007".repeat(most - n)}`,
  );
}
