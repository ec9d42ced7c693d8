import { readFileSync } from "node:fs";
import gamma from "@stdlib/math-base-special-gamma";
import Papa from "papaparse";
import { expect, test } from "vitest";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";
import { tCdf, tQuantile } from "#model/numbers/studentT.ts";

interface Reference {
  readonly function: string;
  readonly argument: string;
  readonly degrees: string;
  readonly value: string;
}

// Source: 40 digits by mpmath, made by special.py beside this file; the first 17 decide, the rest are the room.
const references = Papa.parse<Reference>(readFileSync(new URL("special.csv", import.meta.url), "utf8"), {
  header: true,
  comments: "#",
  skipEmptyLines: true,
}).data;

const ours: Readonly<Record<string, (argument: number, degrees: number) => number>> = {
  "normal cdf": normalForm.undersize,
  "normal quantile": normalDeviate,
  gamma,
  "t cdf": tCdf,
  "t quantile": tQuantile,
};

/** 1e-14 in the domain stated beside each function; ten times that in the farthest tails of the normal curve. */
function allowed(name: string, argument: number): number {
  const isFar =
    (name === "normal cdf" && argument < -8.5) || (name === "normal quantile" && argument < 1e-20);
  return isFar ? 1e-13 : 1e-14;
}

test.each(Object.keys(ours))("%s within 1e-14 of 40-digit references", (name) => {
  const rows = references.filter((r) => r.function === name);
  expect(rows.length).toBeGreaterThanOrEqual(12);
  for (const row of rows) {
    const value = ours[name]?.(Number(row.argument), Number(row.degrees)) ?? Number.NaN;
    const exact = Number(row.value);
    expect(
      Math.abs(value / exact - 1),
      `${name} ${row.argument} ${row.degrees}: ${value} for ${exact}`,
    ).toBeLessThan(allowed(name, Number(row.argument)));
  }
});

test("the deviate of the families is the same function", () => {
  for (const p of [1e-12, 0.1, 0.7]) expect(normalDeviate(p)).toBe(normalDeviate(p));
});
