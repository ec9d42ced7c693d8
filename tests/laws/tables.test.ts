import { describe, expect, test } from "vitest";
import { curveOf, undersizeAt } from "#distributions/curve.ts";
import type { Problem } from "#distributions/problem.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { type Case, d50Um, edgesUm, under } from "../distributions/tables/corpus/case.ts";
import { shapes } from "../distributions/tables/corpus/shapes.ts";
import { traps } from "../distributions/tables/corpus/traps.ts";

// What must hold of whatever table is read. The tables are the invented ones of the corpus.
const corpus = [...shapes, ...traps];
/** Counts of columns and of rows that a message may tell. */
const columnsOf = ({ table }: Case) => Array.from({ length: String(table).split("\n").length }, (_, i) => i);
const read = (one: Case, options = one.options ?? {}) => readTable(one.table, one.file ?? "lot.csv", options);

describe("what a table that holds the powder of the corpus is read as", () => {
  const holding = corpus.filter(({ reads = {} }) => Object.values(reads).includes(d50Um));
  test.each(holding)("$shape: $name", (one) => {
    for (const m of read(one).measurements) {
      const curve = curveOf(m.distribution);
      // Some tables leave the outermost classes open, one has other shares in its last two, and densities are rounded.
      for (const [i, x] of edgesUm.slice(0, -2).entries())
        if (i > 0)
          expect(Math.abs(undersizeAt(curve, x * (1 + 1e-9)) - (under[i] ?? 0) / 100), `${x}`).toBeLessThan(
            3e-4,
          );
    }
  });
});

describe("what was decided, said as an answer, changes nothing", () => {
  test.each(corpus)("$shape: $name", (one) => {
    const { measurements, how } = read(one);
    for (const { option, value } of how) {
      if (option === "encoding" && typeof one.table === "string") continue;
      const again = read(one, { ...one.options, [option]: value }).measurements;
      // What is said of the values is said of the first measurement.
      const isOfEach = ["edge", "values", "scale", "quantity"].includes(option);
      const part = isOfEach ? 1 : undefined;
      expect(again.slice(0, part), `${option}: ${value}`).toEqual(measurements.slice(0, part));
    }
  });
});

describe("every number in what is said is one of the table, or stands beside it", () => {
  const numbersIn = (text: string) =>
    [...text.matchAll(/\d+(?:[.,]\d+)?(?:e[+-]?\d+)?/gi)].map((m) => Number(m[0].replace(",", ".")));
  /** Four figures of a number, of it as a share or in per cent, or of what is left to the whole. */
  const waysOf = (v: number) =>
    [v, 100 * v, v / 100, v / 1000, 1000 * v, 1e6 * v, 100 - v, v - 100].map((way) =>
      String(Number(way.toPrecision(4))),
    );
  /** A standard's number, limits of the reader, and what is checked by hand elsewhere. */
  const worked = /E11|99\.4|100\.6|the span [\d.]+|it runs from [\d.]+ to [\d.]+/g;
  const texts = corpus.filter(({ table }) => typeof table === "string");
  test.each(texts)("$shape: $name", (one) => {
    const { problems, measurements } = read(one);
    const table = numbersIn(String(one.table).replaceAll("_", " "));
    for (const p of problems) {
      const beside = [p.found, p.expected, p.effect].flatMap((text) => numbersIn(text ?? ""));
      const places = [p.row, p.column, p.row === null ? null : p.row + 1].flatMap((v) => v ?? []);
      const read = measurements.flatMap(({ distribution: d }) => [
        ...d.lowerUm,
        ...d.upperUm,
        d.belowShare,
        d.aboveShare,
      ]);
      const own = new Set(
        [...table, ...read, ...beside, ...places, ...columnsOf(one), measurements.length].flatMap(waysOf),
      );
      for (const number of numbersIn(p.message.replace(worked, "")))
        expect(own, `${number} in: ${p.message}`).toContain(String(Number(number.toPrecision(4))));
    }
  });
});

describe("the place that is named holds what was found", () => {
  const cellsOf = (text: string) =>
    text
      .split(/\r\n|\r|\n/)
      .map((line) => line.split(/[,;\t|]/).map((cell) => cell.trim().replace(/^"|"$/g, "")));
  const isThere = ({ found }: Problem, cell: string) =>
    (cell === "" && found === "an empty cell") || (cell !== "" && found !== null && found.includes(cell));
  const texts = corpus.filter(({ table }) => typeof table === "string");
  test.each(texts)("$shape: $name", (one) => {
    const cells = cellsOf(String(one.table));
    for (const p of read(one).problems) {
      if (p.row === null || p.column === null) continue;
      expect(isThere(p, cells[p.row - 1]?.[p.column - 1] ?? "beyond the table"), p.message).toBe(true);
    }
  });
});
