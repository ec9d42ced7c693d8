import type { Draw } from "../../distributions/tables/draw.ts";
import {
  type Manner,
  numberText,
  type SizeManner,
  sizeColumns,
  valueColumns,
  type WrittenColumn,
} from "./columns.ts";
import { decoyOf } from "./decoys.ts";
import type { KnownPowder } from "./powder.ts";

export type Arrangement = "down" | "reversed" | "across" | "long" | "folded" | "paged" | "beside" | "stacked";

interface Arranging {
  readonly layout: Arrangement;
  readonly truth: readonly KnownPowder[];
  readonly manner: Manner;
  readonly sizes: SizeManner;
  readonly separator: string;
  readonly notes: readonly string[];
  /** A word for the quantity in every row of a long table; "" where it has no such column. */
  readonly quantityInRows: string;
  readonly draw: Draw;
}

/** Writes known powders as one text. */
export function arranged(all: Arranging): string {
  const { notes, separator, draw } = all;
  const isTop = draw.chance(0.8);
  const note = (line: string) =>
    line.includes("\t") ? line.replaceAll("\t", separator) : quoted(line, separator);
  const block = notes.length === 0 ? [] : [...notes.map(note), ...(draw.chance(0.7) ? [""] : [])];
  const table = tableLines(all);
  const lines = isTop ? [...block, ...table] : [...table, "", ...block];
  return `${lines.join(draw.pick(["\n", "\n", "\r\n"]))}\n`;
}

function tableLines(all: Arranging): string[] {
  const { layout, truth, sizes, separator, draw, manner } = all;
  if (layout === "beside" || layout === "stacked") {
    const tables = truth.map((known) => rowsOf(columnsFor(all, [known]), separator, false));
    if (layout === "stacked") return tables.flatMap((rows) => [...rows, ""]);
    const columns = truth.map((known) => columnsFor(all, [known]));
    return rowsOf(columns.flat(), separator, false);
  }
  const columns = columnsFor(all, truth);
  if (layout === "long") return longLines(all);
  if (layout === "across") return acrossLines(columns, all);
  if (layout === "folded" && (columns[0]?.cells.length ?? 0) >= 12)
    return foldedLines(columns, separator, draw);
  const rows = rowsOf(columns, separator, layout === "reversed");
  if (layout === "paged" && rows.length > 12) {
    const at = Math.floor(rows.length / 2) + 1;
    const between = draw.pick([["", "Page 2"], [""], ["Page 2 of 2", ""]]);
    const head = rows.slice(0, rows.length - (columns[0]?.cells.length ?? 0));
    return [...rows.slice(0, at), ...between, ...head, ...rows.slice(at)];
  }
  return [...rows, ...(layout === "down" ? belowLines(columns, sizes, manner, separator, draw) : [])];
}

function columnsFor(
  { sizes, manner, draw, layout }: Arranging,
  truth: readonly KnownPowder[],
): WrittenColumn[] {
  const [first] = truth;
  if (first === undefined) return [];
  const isPlain = layout === "down" || layout === "reversed" || layout === "paged";
  // The same words head the columns of each run.
  const value = truth.flatMap((known) => valueColumns(known, manner, sameDraws(draw)));
  const left = sizeColumns(first.edgesUm, sizes, draw);
  const count = left[0]?.cells.length ?? 0;
  const counter = (head: string): WrittenColumn => ({
    head,
    cells: Array.from({ length: count }, (_, i) => String(i + 1)),
    total: "",
  });
  const columns = [
    ...(isPlain && draw.chance(0.06) ? [decoyOf(draw, count, manner.mark)] : []),
    ...(isPlain && draw.chance(0.15)
      ? [counter(draw.pick(["no", "#", "class", "Nr.", "channel", "", "番号", "№"]))]
      : []),
    ...left,
    ...value,
    ...(isPlain ? derived(truth, value, manner, draw) : []),
    ...(isPlain && draw.chance(0.06) ? [decoyOf(draw, count, manner.mark)] : []),
  ];
  if (isPlain && draw.chance(0.05) && manner.saysQuantity && sizes.unit !== "" && sizes.form === "upper")
    return [...value, ...left];
  return columns;
}

/** Draws that come out the same for each run, so that all have the same headings. */
function sameDraws(draw: Draw): Draw {
  return { ...draw, pick: (list) => list[0] ?? draw.pick(list) };
}

/** Means, spreads and the like of the runs, under any name. */
function derived(
  truth: readonly KnownPowder[],
  value: readonly WrittenColumn[],
  manner: Manner,
  draw: Draw,
): WrittenColumn[] {
  if (truth.length < 2 || value.length !== truth.length || draw.chance(0.6)) return [];
  const numbers = value.map((column) => column.cells.map((cell) => Number(cell.replace(",", "."))));
  if (numbers.some((list) => list.some((v) => !Number.isFinite(v)))) return [];
  const each = (count: (list: readonly number[]) => number) =>
    (numbers[0] ?? []).map((_, i) =>
      numberText(Number(count(numbers.map((list) => list[i] ?? 0)).toFixed(5)), manner.mark),
    );
  const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length;
  const sd = (list: readonly number[]) =>
    Math.sqrt(list.reduce((sum, v) => sum + (v - mean(list)) ** 2, 0) / (list.length - 1));
  const column = (head: string, cells: string[]): WrittenColumn => ({ head, cells, total: "" });
  const { words } = manner;
  return [
    ...(draw.chance(0.8) ? [column(draw.pick([...words.mean, "M", "grand"]), each(mean))] : []),
    ...(draw.chance(0.4) ? [column(draw.pick([...words.spread, "s", "±"]), each(sd))] : []),
    ...(draw.chance(0.2)
      ? [
          column(
            "least",
            each((list) => Math.min(...list)),
          ),
          column(
            "most",
            each((list) => Math.max(...list)),
          ),
        ]
      : []),
  ];
}

function rowsOf(columns: readonly WrittenColumn[], separator: string, isReversed: boolean): string[] {
  const count = Math.max(...columns.map((c) => c.cells.length));
  const rows = Array.from({ length: count }, (_, i) =>
    columns.map((c) => quoted(c.cells[i] ?? "", separator)).join(separator),
  );
  return [
    ...rowAbove(columns, (c) => c.above ?? "", separator),
    columns.map((c) => quoted(c.head, separator)).join(separator),
    ...rowAbove(columns, (c) => c.unit ?? "", separator),
    ...(isReversed ? rows.toReversed() : rows),
  ];
}

/** A row of names over several columns each, written once as merged cells are, or of units; none where no column has one. */
function rowAbove(
  columns: readonly WrittenColumn[],
  textOf: (column: WrittenColumn) => string,
  separator: string,
): string[] {
  const texts = columns.map(textOf);
  if (texts.every((text) => text === "")) return [];
  const isSpan = columns.some((c) => c.above !== undefined && textOf(c) === c.above);
  const shown = texts.map((text, i) => (isSpan && text === texts[i - 1] ? "" : text));
  return [shown.map((text) => quoted(text, separator)).join(separator)];
}

/** What stands directly under a table: totals and figures. */
function belowLines(
  columns: readonly WrittenColumn[],
  sizes: SizeManner,
  manner: Manner,
  separator: string,
  draw: Draw,
): string[] {
  const lines: string[] = [];
  const hasTotal = columns.some((c) => c.total !== "");
  if (hasTotal && draw.chance(0.2)) {
    const word = draw.pick([...manner.words.total, "Σ", "100 %?"].slice(0, -1));
    lines.push(columns.map((c, i) => (i === 0 ? word : quoted(c.total, separator))).join(separator));
  }
  if (draw.chance(0.12))
    for (const name of ["D10", "D50", "D90"])
      lines.push(
        [
          name,
          ...columns.slice(1).map((_, i) => (i < columns.length - 2 ? "" : numberText(3.2, manner.mark))),
        ].join(separator),
      );
  if (draw.chance(0.05)) lines.push(["span", numberText(1.23, sizes.mark)].join(separator));
  return lines;
}

/** Lists across; where sizes stand in one row, figures of each measurement may stand before and behind its values. */
function acrossLines(columns: readonly WrittenColumn[], { separator, draw, manner }: Arranging): string[] {
  const line = (cells: readonly string[]) => cells.map((cell) => quoted(cell, separator)).join(separator);
  const isPlain = columns.filter((c) => c.head === columns[0]?.head).length === 1 && draw.chance(0.25);
  const [sizes, second] = columns;
  if (!isPlain || sizes === undefined || second?.cells.length !== sizes.cells.length || manner.isAtLower)
    return columns.map((c) => line([c.head, ...c.cells]));
  const before = draw.chance(0.5);
  const figure = (text: string) => numberText(Number(text), manner.mark);
  return columns.map((c, i) =>
    i === 0
      ? line([c.head, ...(before ? ["date"] : []), ...c.cells, "D50", "span"])
      : line([c.head, ...(before ? ["2026-03-04"] : []), ...c.cells, figure("3.21"), figure("1.4")]),
  );
}

function longLines({ truth, manner, sizes, separator, draw, quantityInRows }: Arranging): string[] {
  const rows: string[] = [];
  const same = sameDraws(draw);
  let head = "";
  for (const known of truth) {
    const left = sizeColumns(known.edgesUm, sizes, same);
    const [value] = valueColumns(known, { ...manner, isNamed: false }, same);
    const counted = quantityInRows === "" ? [] : [quantityInRows];
    head = ["sample", ...counted.map(() => "weighting"), ...left.map((c) => c.head), value?.head ?? ""]
      .map((h) => quoted(h, separator))
      .join(separator);
    for (const [i, cell] of (value?.cells ?? []).entries())
      rows.push(
        [known.name, ...counted, ...left.map((c) => c.cells[i] ?? ""), cell]
          .map((h) => quoted(h, separator))
          .join(separator),
      );
  }
  return [head, ...rows];
}

/** A long table put on one page: its second half beside the first. */
function foldedLines(columns: readonly WrittenColumn[], separator: string, draw: Draw): string[] {
  const half = Math.ceil((columns[0]?.cells.length ?? 0) / 2);
  const gap: WrittenColumn[] = draw.chance(0.5) ? [{ head: "", cells: [], total: "" }] : [];
  const part = (from: number, to?: number) => columns.map((c) => ({ ...c, cells: c.cells.slice(from, to) }));
  return rowsOf([...part(0, half), ...gap, ...part(half)], separator, false);
}

function quoted(text: string, separator: string): string {
  return text.includes(separator) || text.includes('"') ? `"${text.replaceAll('"', '""')}"` : text;
}
