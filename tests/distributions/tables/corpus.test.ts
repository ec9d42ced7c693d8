import { describe, expect, test } from "vitest";
import { curveOf, sizeAt } from "#distributions/curve.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import type { Case } from "./corpus/case.ts";
import { shapes } from "./corpus/shapes.ts";
import { traps } from "./corpus/traps.ts";

const corpus = [...shapes, ...traps];

function check(one: Case): void {
  const { measurements, problems } = readTable(one.table, one.file ?? "lot.csv", one.options ?? {});
  const of = (severity: string) => problems.filter((p) => p.severity === severity);
  const said = JSON.stringify(
    problems.map((p) => p.message),
    null,
    1,
  );
  const medians = Object.fromEntries(measurements.map((m) => [m.name, sizeAt(curveOf(m.distribution), 0.5)]));
  expect(Object.keys(medians), said).toEqual(Object.keys(one.reads ?? {}));
  for (const [name, um] of Object.entries(one.reads ?? {}))
    expect((medians[name] ?? 0) / um, `${name}: ${medians[name]} for ${um}`).toBeCloseTo(1, 3);
  if (one.quantity !== undefined)
    for (const m of measurements) expect(m.distribution.quantity).toBe(one.quantity);
  for (const words of one.notes ?? [])
    expect(
      of("note")
        .map((p) => p.message)
        .join("\n"),
    ).toMatch(words);
  expect(
    of("question").map((p) => p.choices?.[0]?.option),
    said,
  ).toEqual(one.asks ?? []);
  for (const words of one.asksWith ?? [])
    expect(
      of("question")
        .map((p) => p.message)
        .join("\n"),
    ).toMatch(words);
  for (const words of one.refuses ?? [])
    expect(
      of("refused")
        .map((p) => p.message)
        .join("\n"),
    ).toMatch(words);
  if (one.refuses === undefined) expect(of("refused").map((p) => p.message)).toEqual([]);
  for (const p of of("refused")) expect([p.found, p.expected], p.message).not.toContain(null);
}

describe("the corpus of invented tables", () => {
  test("holds at least 60 tables and every shape", () => {
    expect(corpus.length).toBeGreaterThanOrEqual(60);
    const found = new Set(corpus.map((c) => c.shape));
    for (let shape = 1; shape <= 20; shape++) expect(found).toContain(String(shape));
  });
  test.each(corpus)("$shape: $name", check);
});
