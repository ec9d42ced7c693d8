import { type Draw, drawFrom } from "../../distributions/tables/draw.ts";
import { type Hostile, hostileOf } from "./hostile.ts";

// What a stranger would try who wants a silent misreading: names that are dates, sizes and numbers, ranges in every writing,
// marks for nothing in every language, notes that speak of other tables, and the same table in another dress.

const names = [
  "14:30",
  "2026-03-04 14:30",
  "04.03.2026",
  "3/4",
  "batch 12",
  "12",
  "0.63",
  "10-20",
  "cut 63 µm",
  "5 mm pearl",
  "325 mesh",
  "3 phi",
  "98 % solids",
  "D50 trial",
  "mean of bags",
  "sum of bags",
  "rest day",
  "A/B",
  "no 4",
  "Q3 run",
  "q3",
  "under oath",
  "log 4",
  "half inch",
  "min load",
  "max load",
  "from Oslo to Rome",
  "Anzahl 3",
  "Summe Nord",
  "до обеда",
  "平均 2",
  "体积 3",
  "nombre premier",
  "Länge 2",
  "passant 4",
  "1.5 bar",
  "600 °C",
  "8000 rpm",
  "pH 7",
  "1e5",
  "cum laude",
  "differential gear",
  "per cent club",
  "edge case",
  "middle bag",
  "lower floor",
  "counts 3",
  // Alone it would say that the values are grams, whatever they are.
  "g 4",
  "ppm trial",
  "bin 4",
  "channel 2",
  "Day 3",
  "t = 10 s",
];

const dashes = [
  ">{from} <{to}",
  "[{from};{to})",
  "({from}, {to}]",
  "{from} < d ≤ {to}",
  "{from}–<{to}",
  "{from} -- {to}",
  "{from} up to {to}",
  "from {from} to {to}",
  "von {from} bis {to}",
  "de {from} à {to}",
  "от {from} до {to}",
  "{from}から{to}",
  "{from}至{to}",
  "{from}/{to}",
  "{from} | {to}",
  "{from}...{to}",
  "≥{from} <{to}",
  "-{to} +{from}",
  "{from} → {to}",
  "{from}_{to}",
  "<{to} >{from}",
  "{to}-{from}",
];

const nothings = [
  "–",
  "—",
  "nil",
  "none",
  "k.A.",
  "n.n.",
  "< 0.01",
  "<LOD",
  "ND",
  "未検出",
  "н.о.",
  "0 %",
  "·",
  "n. d.",
  "tr.",
  "/",
  "NaN",
  "zero",
];

const noteLines = [
  "sizes were checked against 500 nm spheres",
  "range 0.02 µm to 2 mm",
  "lens for 0.1 - 900 µm",
  "results below 80 nm are uncertain",
  "sieved through 325 mesh",
  "mean of three runs, SD below 0.5 %",
  "number of runs: 3",
  "volume of sample: 12 ml",
  "surface tension 72 mN/m",
  "length of tube 2 m",
  "undersize pump replaced",
  "class 10 clean room",
  "counted by hand",
  "Partikel über 2 mm abgesiebt",
  "1;2;3",
  "lot 12, bag 4",
  "D10 0.4 D50 3.1 D90 9.9",
  "Total 100",
  "phi = 9.5",
  "printed 2026-03-04 14:30",
  "page 1 of 3",
  "---",
  "see other table in mm",
  "unit price 3.20",
  "shape: spheres",
  "the other lot is by number",
  "lower than last week",
  "fraction number 2 of 3",
];

/** A hostile table with a stranger's words, and in another dress. */
export function strangeOf(seed: number): Hostile {
  const draw = drawFrom(seed + 31_000_000);
  const table = hostileOf(seed + 40_000_000, {
    ...(draw.chance(0.6) ? { names } : {}),
    ...(draw.chance(0.7) ? { dashes } : {}),
    ...(draw.chance(0.5) ? { nothings } : {}),
    ...(draw.chance(0.5) ? { noteLines } : {}),
  });
  const dress = draw.pick(dresses);
  const text = dress.wear(table, draw);
  return text === null ? table : { ...table, ...text, what: `${table.what}, ${dress.name}` };
}

interface Dress {
  readonly name: string;
  /** The table so dressed; null where it cannot be. */
  readonly wear: (table: Hostile, draw: Draw) => Partial<Hostile> | null;
}

const asItIs: Dress = { name: "as it is", wear: () => null };

const dresses: readonly Dress[] = [
  asItIs,
  asItIs,
  {
    name: "pipes",
    wear: (table) => {
      const rows = rowsOf(table);
      if (rows.some((row) => row.some((cell) => cell.includes("|")))) return null;
      return {
        table: rows.map((row) => (isBlank(row) ? "" : `| ${row.join(" | ")} |`)).join("\n"),
        separator: "|",
      };
    },
  },
  {
    name: "all quoted",
    wear: (table) =>
      withRows(
        table,
        (row) => row,
        (cell) => `"${cell.replaceAll('"', '""')}"`,
      ),
  },
  {
    name: "first column empty",
    wear: (table) => withRows(table, (row) => (isBlank(row) ? row : ["", ...row])),
  },
  { name: "last columns empty", wear: (table) => withRows(table, (row) => [...row, "", ""]) },
  {
    name: "padded",
    wear: (table) => withRows(table, (row) => row.map((cell) => (cell === "" ? cell : ` ${cell}  `))),
  },
  {
    name: "hard blanks",
    wear: (table) => withRows(table, (row) => row.map((cell) => cell.replaceAll(" ", "\u00a0"))),
  },
  {
    name: "told its separator",
    wear: (table) => ({ table: `sep=${table.separator}\n${table.table}` }),
  },
  {
    name: "figures above",
    wear: (table, draw) => ({
      table: `${["D10", "D50", "D90"].map((d, i) => [d, numberIn(table, draw.pick([0.7, 3.1, 9.2]) + i)].join(table.separator)).join("\n")}\n\n${table.table}`,
    }),
  },
  {
    name: "capitals",
    wear: (table) =>
      table.isNamed
        ? null
        : { table: table.table.replace(/[a-z]+/g, (word) => (word === "e" ? word : word.toUpperCase())) },
  },
  {
    name: "rows named",
    wear: (table) => (/, (down|reversed), /.test(table.what) ? withRows(table, namedRow(table)) : null),
  },
  {
    name: "no leading zero",
    wear: (table) =>
      withRows(table, (row) => row.map((cell) => (/^0[.,]\d*[1-9]\d*$/.test(cell) ? cell.slice(1) : cell))),
  },
  {
    name: "blank lines between",
    wear: (table) =>
      /, (down|reversed|across|long), /.test(table.what)
        ? { table: table.table.replaceAll(/\r?\n/g, "\n\n") }
        : null,
  },
];

/** Numbers each row of a table, as "K1" or "class 1", where it holds a number. */
function namedRow(table: Hostile): (row: readonly string[]) => string[] {
  let count = 0;
  const isData = (row: readonly string[]) =>
    row.length > 1 && /^\W*\d/.test(row[0] ?? "") && /\d/.test(row[1] ?? "");
  return (row) => {
    if (isBlank(row) || (row.length === 1 && !isData(row))) return [...row];
    return isData(row) ? [`K${++count}`, ...row] : [table.isNamed || count > 0 ? "" : "class", ...row];
  };
}

const isBlank = (row: readonly string[]) => row.every((cell) => cell === "");

function numberIn({ mark }: Hostile, value: number): string {
  return value.toFixed(2).replace(".", mark);
}

function rowsOf({ table, separator }: Hostile): string[][] {
  return table
    .replace(/\r?\n$/, "")
    .split(/\r?\n/)
    .map((line) => cellsOf(line, separator));
}

function withRows(
  table: Hostile,
  dressed: (row: readonly string[]) => readonly string[],
  written: (cell: string) => string = (cell) => quoted(cell, table.separator),
): Partial<Hostile> {
  const lines = rowsOf(table).map((row) => dressed(row).map(written).join(table.separator));
  return { table: `${lines.join("\n")}\n` };
}

function quoted(text: string, separator: string): string {
  return text.includes(separator) || text.includes('"') ? `"${text.replaceAll('"', '""')}"` : text;
}

function cellsOf(line: string, separator: string): string[] {
  const cells: string[] = [];
  let cell = "";
  let isQuoted = false;
  for (const sign of line) {
    if (sign === '"') isQuoted = !isQuoted;
    else if (sign === separator && !isQuoted) {
      cells.push(cell);
      cell = "";
    } else cell += sign;
  }
  return [...cells, cell];
}
