import { rangeIn, sizeIn, sizeNumber } from "#distributions/tables/text/sizeText.ts";
import type { Cell, Grid } from "./block.ts";

/** Lower and upper edges where each cell holds both; the outermost may be open. Null where the cells hold one size each. */
export function rangeLists(cells: readonly Cell[], mark: Grid["mark"]): Cell[][] | null {
  const ranges = cells.map((cell) => rangeIn(cell.text, mark));
  const areRanges =
    ranges.filter((r) => r !== null).length >= Math.max(1, cells.length - 2) &&
    cells.every((cell, i) => ranges[i] !== null || sizeIn(cell.text, mark)?.open != null);
  if (!areRanges) return null;
  const sides = cells.map((cell) => {
    const found = rangeIn(cell.text, mark);
    if (found !== null) return found;
    const open = sizeIn(cell.text, mark);
    const bare = cell.text.replace(/^\D+/, "");
    return open?.open === "above" ? { from: bare, to: "" } : { from: "0", to: bare };
  });
  const falls = sides.every(({ from, to }) => to !== "" && sizeNumber(from, mark) > sizeNumber(to, mark));
  const list = (side: "from" | "to") => cells.map((cell, i) => ({ ...cell, text: sides[i]?.[side] ?? "" }));
  return falls ? [list("to"), list("from")] : [list("from"), list("to")];
}

/** Two columns of edges, the lower first. */
export function edgeLists(
  first: readonly Cell[],
  second: readonly Cell[],
  mark: Grid["mark"],
): (readonly Cell[])[] {
  const larger = first.filter(
    (cell, i) => sizeNumber(cell.text, mark) > sizeNumber(second[i]?.text ?? "", mark),
  );
  return larger.length > first.length / 2 ? [second, first] : [first, second];
}
