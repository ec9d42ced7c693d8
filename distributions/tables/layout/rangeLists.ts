import type { Cell, Grid } from "./block.ts";

/** Lower and upper edges where each cell holds both; the outermost may be open. Null where the cells hold one size each. */
export function rangeLists(cells: readonly Cell[], parsed: Grid["parsed"]): Cell[][] | null {
  const ranges = cells.map((cell) => parsed.range(cell.text));
  const areRanges =
    ranges.filter((r) => r !== null).length >= Math.max(1, cells.length - 2) &&
    cells.every((cell, i) => ranges[i] !== null || parsed.size(cell.text)?.open != null);
  if (!areRanges) return null;
  const sides = cells.map((cell) => {
    const found = parsed.range(cell.text);
    if (found !== null) return found;
    const open = parsed.size(cell.text);
    const bare = cell.text.replace(/^\D+/, "");
    return open?.open === "above" ? { from: bare, to: "" } : { from: "0", to: bare };
  });
  const closed = ranges.flatMap((r) => r ?? []);
  const falls = closed.every(({ from, to }) => parsed.um(from) > parsed.um(to));
  const list = (side: "from" | "to") => cells.map((cell, i) => ({ ...cell, text: sides[i]?.[side] ?? "" }));
  // An open end is the same whichever edge the closed ones have first.
  const swapped = (side: "from" | "to") =>
    list(side).map((cell, i) =>
      ranges[i] === null ? { ...cell, text: sides[i]?.[side === "from" ? "to" : "from"] ?? "" } : cell,
    );
  return falls ? [swapped("to"), swapped("from")] : [list("from"), list("to")];
}

/** Two columns of edges, the lower first. */
export function edgeLists(
  first: readonly Cell[],
  second: readonly Cell[],
  parsed: Grid["parsed"],
): (readonly Cell[])[] {
  const larger = first.filter((cell, i) => parsed.um(cell.text) > parsed.um(second[i]?.text ?? ""));
  return larger.length > first.length / 2 ? [second, first] : [first, second];
}
