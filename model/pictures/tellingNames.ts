/**
 * Names without the words that all of them begin with: the end of a name tells lots apart.
 *
 * @example tellingNames(["Garnet host, lot 07", "Garnet host, lot 12"]) // ["lot 07", "lot 12"]
 */
export function tellingNames(names: readonly string[]): readonly string[] {
  const [first] = names;
  if (first === undefined || names.length < 2) return names;
  const same = Array.from(first).findIndex((letter, i) => names.some((name) => name[i] !== letter));
  const common = first.slice(0, same === -1 ? first.length : same);
  // Back to a comma where there is one, so that "lot 07" keeps its noun; else to the last word.
  const comma = common.lastIndexOf(", ");
  const cut = comma >= 0 ? comma + 2 : common.lastIndexOf(" ") + 1;
  return names.map((name) => name.slice(cut));
}
