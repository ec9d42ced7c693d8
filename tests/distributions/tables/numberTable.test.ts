import { describe, expect, test } from "vitest";
import { readCellByCell, readNumbers } from "#distributions/tables/readTable.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { mutantOf } from "../../fuzz/mutants.ts";
import { shapes } from "./corpus/shapes.ts";
import { traps } from "./corpus/traps.ts";
import { type Draw, drawFrom } from "./draw.ts";
import { layoutOf } from "./layouts.ts";

// A wide table of plain numbers is read in one pass over its bytes, every other cell by cell. Outside truth: the reader that
// takes out each cell and knows nothing of the quick way; both must say the same to the last word and the last bit.
const fewest = 12;

/** Whether the quick way read it; then both said the same. */
function isSameByBoth(bytes: Uint8Array, options: ReadingOptions): boolean {
  const quick = readNumbers(bytes, "lot.csv", { options }, fewest);
  if (quick === null) return false;
  expect(quick).toEqual(readCellByCell(bytes, "lot.csv", options));
  return true;
}

const encoded = (table: Uint8Array | string) =>
  typeof table === "string" ? new TextEncoder().encode(table) : table;

const names: readonly ((i: number) => string)[] = [
  (i) => `L${i}`,
  (i) => `run ${i}`,
  (i) => `garnet ${i} volume %`,
  () => "volume %",
  (i) => `lot ${i} number`,
  (i) => `fraction ${i}`,
  (i) => `passing ${i} %`,
  (i) => `trial ${i} µm`,
  (i) => `D${i}`,
  () => "mean",
  () => "sd",
  () => "cumulative",
  (i) => `counts ${i}`,
];

/** Values of one column: shares of a whole, running sums, what counts or repeats, and what is no share at all. */
function columnOf(draw: Draw, rows: number, before: readonly number[] | undefined): number[] {
  const raw = Array.from({ length: rows }, () => (draw.chance(0.3) ? 0 : 0.01 + 5 * draw.unit()));
  const whole = raw.reduce((a, b) => a + b, 0) || 1;
  const percent = raw.map((v) => Number(((100 * v) / whole).toFixed(4)));
  let sum = 0;
  const kind = draw.unit();
  if (kind < 0.7 || before === undefined) return percent;
  if (kind < 0.76) return percent.map((v) => Number((v / 100).toFixed(5)));
  if (kind < 0.8)
    return percent.map((v) => {
      sum += v;
      return Number(Math.min(100, sum).toFixed(3));
    });
  if (kind < 0.84) return before.map((v) => Number((100 - v).toFixed(4)));
  if (kind < 0.87) return before.map((v) => Number((3.7 * v).toFixed(3)));
  if (kind < 0.9) return percent.map((_, i) => i + 1);
  if (kind < 0.92) return percent.map(() => 7.25);
  if (kind < 0.95) return percent.map((v) => Math.round(97 * v));
  if (kind < 0.97) return percent.map((v, i) => (i === 2 ? -v : v));
  return [...before];
}

function wideTable(seed: number): { readonly bytes: Uint8Array; readonly options: ReadingOptions } {
  const draw = drawFrom(seed);
  const rows = draw.whole(8, 30);
  const count = draw.whole(11, 90);
  const edges = Array.from({ length: rows + 1 }, (_, i) => 0.1 * 1.3 ** i);
  const digits = draw.chance(0.2) ? 17 : 6;
  const write = (list: readonly number[]) => list.map((x) => String(Number(x.toPrecision(digits))));
  const sizes = draw.pick([
    [["lower_um", write(edges.slice(0, -1))] as const, ["upper_um", write(edges.slice(1))] as const],
    [["upper size (um)", write(edges.slice(1))] as const],
    [["size", write(edges.slice(1))] as const],
  ]);
  const name = draw.pick(names);
  const columns: (readonly [string, readonly string[]])[] = [...sizes];
  let before: number[] | undefined;
  for (let i = 0; i < count; i++) {
    const values = columnOf(draw, rows, before);
    before = values;
    const heading = draw.chance(0.96) ? name : draw.pick(names);
    const hasExponent = draw.chance(0.02);
    columns.push([heading(i), values.map((v) => (hasExponent ? v.toExponential(3) : v.toFixed(4)))]);
  }
  const sign = draw.pick([",", ";", "\t", "|"]);
  const lines = Array.from({ length: rows }, (_, r) => columns.map(([, cells]) => cells[r] ?? "").join(sign));
  const body = draw.chance(0.2) ? lines.toReversed() : lines;
  const end = draw.pick(["\n", "\r\n"]);
  const text = [columns.map(([heading]) => heading).join(sign), ...body].join(end);
  const options: ReadingOptions = {
    ...(draw.chance(0.5) ? { quantity: "volume" as const } : {}),
    ...(draw.chance(0.3) && sizes.length === 1 ? { edge: "upper" as const } : {}),
    ...(draw.chance(0.1) ? { strict: true } : {}),
  };
  return { bytes: encoded(draw.chance(0.7) ? `${text}${end}` : text), options };
}

/** Lots in rows under a heading row of sizes. */
function tallTable(seed: number): { readonly bytes: Uint8Array; readonly options: ReadingOptions } {
  const draw = drawFrom(seed);
  const classes = draw.whole(12, 16);
  const written = (i: number) => String(Number((0.1 * 1.3 ** i).toPrecision(6)));
  const areRanges = draw.chance(0.4);
  const unit = draw.pick(["", " um"]);
  const sizes = Array.from({ length: classes }, (_, i) =>
    areRanges ? `${written(i)}-${written(i + 1)}${unit}` : written(i),
  );
  const sign = draw.pick([",", ";", "\t"]);
  const name = draw.pick(names);
  const odd = draw.chance(0.3) ? draw.whole(0, 202) : -1;
  let before: number[] | undefined;
  const lines = Array.from({ length: draw.whole(201, 204) }, (_, i) => {
    const values = columnOf(draw, classes, i === odd ? before : undefined);
    before = values;
    const called = i === odd + 1 ? draw.pick(names)(i) : name(i);
    return [called, ...values.map((v) => v.toFixed(4))].join(sign);
  });
  const heading = [draw.pick(["lot", "name", "size um", "sample"]), ...sizes].join(sign);
  return {
    bytes: encoded(`${[heading, ...lines].join("\n")}\n`),
    options: {
      ...(areRanges ? {} : { edge: "upper" as const }),
      ...(draw.chance(0.6) ? { quantity: "volume" as const } : {}),
    },
  };
}

describe("a wide table of numbers", () => {
  test("reads the same in one pass and cell by cell, whatever its columns hold and are called", () => {
    const seeds = Array.from({ length: 90 }, (_, i) => i + 1);
    const quick = seeds.filter((seed) => {
      const { bytes, options } = wideTable(seed);
      return isSameByBoth(bytes, options);
    });
    // Most of them go the quick way, or nothing is compared.
    expect(quick.length).toBeGreaterThan(45);
  });

  test("so do lots in rows", () => {
    const quick = Array.from({ length: 22 }, (_, i) => tallTable(i + 1)).filter(({ bytes, options }) =>
      isSameByBoth(bytes, options),
    );
    expect(quick.length).toBeGreaterThan(10);
  });

  test("reads no table of the corpus, no layout and no damaged table otherwise than cell by cell", () => {
    for (const { table, options = {} } of [...shapes, ...traps]) isSameByBoth(encoded(table), options);
    for (let seed = 1; seed <= 150; seed++) {
      const { bytes, answers } = layoutOf(seed);
      isSameByBoth(bytes, answers);
      const mutant = mutantOf(seed);
      isSameByBoth(mutant.bytes, mutant.options);
    }
  });
});
