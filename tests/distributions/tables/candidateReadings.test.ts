import { expect, test } from "vitest";
import { candidateReadings, candidatesInWords } from "#distributions/tables/candidateReadings.ts";
import { readGiven, readTable } from "#distributions/tables/readTable.ts";
import { edgesUm, percent, under, upperUm } from "./corpus/case.ts";

const candidates = (text: string) => candidateReadings(readTable(text, "x.csv", {}), text, {});
const rows = (heading: string, ...columns: readonly (readonly number[])[]) =>
  [heading, ...(columns[0] ?? []).map((_, i) => columns.map((c) => c[i]).join(","))].join("\n");

test("a table that says everything has one reading, with the evidence for it and nothing to be said", () => {
  const [one, ...more] = candidates(rows("upper edge um,volume undersize %", edgesUm, under));
  expect(more).toEqual([]);
  expect(one?.answers).toEqual([]);
  expect(one?.measurements[0]?.d50Um).toBeCloseTo(2.02, 1);
  expect(one?.speaksFor.join()).toMatch(/unit um: the heading.*quantity volume: the heading/);
  expect(candidatesInWords(one === undefined ? [] : [one], () => "")).toEqual([]);
});

test("what is asked makes a reading for each answer, which differ in their sizes", () => {
  const found = candidates(rows("size um,volume %", upperUm, percent));
  const edges = found.map(({ answers }) => answers.map(({ value }) => value).join());
  expect(edges).toEqual(expect.arrayContaining(["lower", "upper"]));
  const medians = found.map(({ measurements }) => measurements[0]?.d50Um ?? 0);
  expect(Math.max(...medians) / Math.min(...medians)).toBeGreaterThan(1.005);
});

test("an answer that raises another question is answered further", () => {
  const found = candidates(rows("size um,share %", upperUm, percent));
  expect(found.length).toBeGreaterThanOrEqual(8);
  expect(found.every(({ answers, measurements }) => answers.length === 2 && measurements.length === 1)).toBe(
    true,
  );
  expect(new Set(found.map(({ measurements }) => measurements[0]?.quantity)).size).toBeGreaterThan(1);
});

test("a refused table has its nearest readings, with what it lacks against each", () => {
  const found = candidates(
    rows("upper edge um,volume %", upperUm, percent.slice(0, 6).concat([1, 1, 1, 1, 1])),
  );
  expect(found[0]?.answers).toEqual([{ option: "scale", value: "amount" }]);
  expect(found[0]?.speaksAgainst.join()).toMatch(/is missing/);
  const words = candidatesInWords(found, ({ option, value }) => `--${option} ${value}`);
  expect(words[0]).toMatch(/^Reading 1, with --scale amount: 1 measurement, by volume, D10 .* µm$/);
});

test("rows of cells have the same candidates as the text they make, and every assumption is asked likewise", () => {
  const text = rows("size um,share %", upperUm, percent);
  const cells = text.split("\n").map((row) => row.split(","));
  expect(candidateReadings(readGiven(cells, "x.csv", {}), cells, {})).toEqual(candidates(text));
  const asked = (table: typeof cells | string) =>
    readGiven(table, null, { strict: true }).problems.map((p) => [p.severity, p.message]);
  const bare = rows("size,volume undersize %", edgesUm, under);
  expect(asked(bare.split("\n").map((row) => row.split(",")))).toEqual(asked(bare));
  expect(asked(bare).some(([severity]) => severity === "question")).toBe(true);
});
