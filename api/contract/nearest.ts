/**
 * The known word that was probably meant; null where none is near.
 *
 * Distance: insertions, deletions, changes and swaps of neighbours (optimal string alignment); at most a third of the
 * word may differ.
 */
export function nearest(word: string, known: readonly string[]): string | null {
  const found = known
    .map((one) => ({ one, apart: apart(word.toLowerCase(), one.toLowerCase()) }))
    .sort((a, b) => a.apart - b.apart)[0];
  return found !== undefined && found.apart <= Math.max(1, Math.floor(word.length / 3)) ? found.one : null;
}

/** " Did you mean …?" where a known word is near, else nothing. */
export function meant(word: string, known: readonly string[], before = ""): string {
  const found = nearest(word, known);
  return found === null ? "" : ` Did you mean ${before}${found}?`;
}

function apart(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (const [i, letter] of [...a].entries()) {
    const row = [i + 1];
    for (const [j, other] of [...b].entries()) {
      const steps = [(last[j + 1] ?? 0) + 1, (row[j] ?? 0) + 1, (last[j] ?? 0) + (letter === other ? 0 : 1)];
      if (i > 0 && j > 0 && letter === b[j - 1] && a[i - 1] === other)
        steps.push((beforeLast[j - 1] ?? 0) + 1);
      row.push(Math.min(...steps));
    }
    beforeLast = last;
    last = row;
  }
  return last.at(-1) ?? 0;
}
