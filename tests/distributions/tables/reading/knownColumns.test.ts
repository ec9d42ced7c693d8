import { describe, expect, test } from "vitest";
import { readColumns } from "#distributions/tables/reading/readColumns.ts";
import { labTableOf, wrongInLab } from "../../../fuzz/hostile/labTables.ts";

const names = {
  words: [],
  required: ["speedRpm", "d50Um"],
  optional: ["gasFlowM3PerH", "feedKgPerH"],
};
const read = (heading: string, row: string) => readColumns(`${heading}\n${row}\n`, "trials.csv", names);

describe("trials under any headings", () => {
  test.each([
    ["wheel rpm;gas flow m3/h;feed kg/h;D50 um", "6200;180;2;3.4", [6200, 180, 2, 3.4]],
    ["Speed (1/min);Air flow (m³/min);Feed (g/min);x50 (nm)", "6200;3;40;3400", [6200, 180, 2.4, 3.4]],
    ["Drehzahl U/min;Luftmenge m3/h;Aufgabe kg/h;D50 µm", "6200;180;2;3.4", [6200, 180, 2, 3.4]],
    ["speedRpm;gasFlowM3PerH;feedKgPerH;d50Um", "6200;180;2;3.4", [6200, 180, 2, 3.4]],
    ["wheel speed s-1;flow l/s;feed;D(0.5) um", "100;50;2;3.4", [6000, 180, 2, 3.4]],
  ])("%s", (heading, row, [speed, flow, feed, d50]) => {
    const { rows, problems } = read(heading, row);
    expect(problems.filter((p) => p.severity !== "note")).toEqual([]);
    const [one] = rows;
    expect(one?.number["speedRpm"]).toBeCloseTo(speed ?? 0, 9);
    expect(one?.number["gasFlowM3PerH"]).toBeCloseTo(flow ?? 0, 9);
    expect(one?.number["feedKgPerH"]).toBeCloseTo(feed ?? 0, 9);
    expect(one?.number["d50Um"]).toBeCloseTo(d50 ?? 0, 9);
  });
  test("what was converted and what is not known is said", () => {
    const { problems } = read("wheel rpm;x50 (nm);colour", "6200;3400;white");
    expect(problems.map((p) => p.message)).toEqual([
      '"wheel rpm" was read as speedRpm.',
      '"x50 (nm)" was read as d50Um, times 0.001.',
      'Not known and left out: "colour".',
    ]);
  });
  test.each([
    ["a unit of something else", "wheel rpm;D50 bar"],
    ["a unit that is not known", "wheel rpm;D50 (thou)"],
    ["two columns that could be it", "wheel rpm;mill speed rpm;D50 um"],
  ])("%s is no match", (_, heading) => {
    expect(read(heading, "1;2;3").problems[0]?.severity).toBe("refused");
  });
  test("normal cubic metres are not cubic metres at the wheel", () => {
    const { rows } = read("wheel rpm;gas flow Nm3/h;D50 um", "6200;180;3.4");
    expect(rows[0]?.number["gasFlowM3PerH"]).toBeNull();
  });
});

describe("what a heading or a cell lacks is said", () => {
  test("a unit behind the number goes before the heading's", () => {
    const { rows } = read("speed;D50", "6.2 krpm;3400 nm");
    expect(rows[0]?.number).toMatchObject({ speedRpm: 6200, d50Um: 3.4 });
  });
  test.each([
    ["wheel speed m/s;D50 um", "speaks of it, but in a unit that is not known here"],
    ["wheel rpm;mill speed rpm;D50 um", "could each be it"],
  ])("%s", (heading, words) => {
    expect(read(heading, "1;2;3").problems[0]?.message).toContain(words);
  });
  test("three figures behind every comma are refused, not taken for thousands", () => {
    const { rows, problems } = read("wheel rpm;D50 um", "6200;3,254");
    expect(rows).toEqual([]);
    expect(problems.at(-1)?.message).toBe(
      '"3,254" can be 3.254 or 3254, and no other number of the table tells which. Write decimals with a point, and thousands without a sign.',
    );
  });
});

test("400 tables of trials under any headings, units and signs", () => {
  const all = {
    words: [],
    required: ["speedRpm", "d50Um"],
    optional: ["gasFlowM3PerH", "feedKgPerH", "productKgPerH", "d10Um", "d90Um"],
  };
  const wrong = Array.from({ length: 400 }, (_, seed) => labTableOf(seed)).flatMap((table) => {
    const what = wrongInLab(table, readColumns(table.table, null, all));
    return what === null ? [] : [`${table.seed}: ${what}`];
  });
  expect(wrong).toEqual([]);
});
