import type { Draw } from "../../distributions/tables/draw.ts";
import type { WrittenColumn } from "./columns.ts";

/** Columns that a laboratory's table carries along and that are no sizes and no shares. */
const decoys: readonly (readonly [string, readonly string[]])[] = [
  ["date", ["2026-03-04"]],
  ["operator", ["AB"]],
  ["T °C", ["21.5"]],
  ["laser %", ["78.2"]],
  ["pump rpm", ["1200"]],
  ["remark", ["", "", "ok"]],
  ["flag", ["0"]],
  ["detector", ["a", "b"]],
];

/** One that is the same in every row, or goes round a few words. */
export function decoyOf(draw: Draw, count: number, mark: "." | ","): WrittenColumn {
  const [head, cells] = draw.pick(decoys);
  const text = (i: number) => cells[i % cells.length] ?? "";
  return {
    head,
    cells: Array.from({ length: count }, (_, i) =>
      /^\d+\.\d+$/.test(text(i)) ? text(i).replace(".", mark) : text(i),
    ),
    total: "",
  };
}
