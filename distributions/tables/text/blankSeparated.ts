const number = /^[<>≤≥]?[+−-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?%?$/i;
const missing = /^(?:-|n\.?d\.?|n\/?a|nan)$/i;
const unit = /^(?:um|µm|μm|nm|mm|%)$/i;

/**
 * Text whose cells stand apart by blanks. A line of numbers is cut at every blank; a line of words at two blanks or
 * more, or at every blank where that gives as many cells as the numbers below have; else it stays one cell, as a remark.
 */
export function blankRows(text: string): string[][] {
  const lines = text.split("\n").map((line) => line.trim());
  const cut = lines.map((line) => (line === "" ? [] : joinUnits(line.split(/[ \t]+/))));
  const counts = new Map<number, number>();
  for (const cells of cut)
    if (isNumbers(cells)) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
  let [width, most] = [0, 0];
  for (const [cells, times] of counts) if (times > most) [width, most] = [cells, times];
  return lines.map((line, i) => {
    const cells = cut[i] ?? [];
    if (line === "" || isNumbers(cells)) return cells;
    const wide = line.split(/ {2,}|\t+/);
    if (wide.length === width) return wide;
    return cells.length === width ? cells : wide;
  });
}

function isNumbers(cells: readonly string[]): boolean {
  return (
    cells.length > 1 &&
    cells.some((cell) => number.test(cell)) &&
    cells.every((cell) => number.test(cell) || missing.test(cell) || /\d\s(?:um|µm|μm|nm|mm|%)$/i.test(cell))
  );
}

/** A unit behind a number belongs to it: "850 nm" is one cell. */
function joinUnits(cells: readonly string[]): string[] {
  const joined: string[] = [];
  for (const cell of cells) {
    const before = joined.at(-1);
    if (before !== undefined && unit.test(cell) && number.test(before))
      joined[joined.length - 1] = `${before} ${cell}`;
    else if (before !== undefined && /^[<>≤≥]=?$/.test(before))
      joined[joined.length - 1] = `${before}${cell}`;
    else joined.push(cell);
  }
  return joined;
}
