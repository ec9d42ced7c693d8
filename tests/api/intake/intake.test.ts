import { readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { readReceived, runsToPlace } from "../../../api/intake/filing.ts";
import { type KeptHere, keepHere } from "../saved.ts";

// Two invented materials: the demo's garnet and a fluorite host.
const table = readFileSync(
  new URL("../../../distributions/samples/lots/garnet-07/milled.csv", import.meta.url),
  "utf8",
);
/** The same table with one share a little larger, so that no two files hold the same curve. */
const tableOf = (i: number) =>
  table.replace("0.1364;0.1525;0.01;", `0.1364;0.1525;${(0.01 + i * 1e-4).toFixed(4)};`);
const options = {};

let here: KeptHere;
beforeAll(async () => {
  here = await keepHere();
  for (const [name, material] of [
    ["Garnet host, lot 07", "Garnet host"],
    ["Fluorite host, lot 07", "Fluorite host"],
  ])
    await here.ask("POST", "/api/lots", { name, material, densityGPerCm3: 4.55 });
});
afterAll(() => here.close());

const post = async (path: string, body: unknown) => {
  const answer = await here.ask("POST", path, body);
  return { status: answer.status, body: await answer.json() };
};
const bytes = (text: string) => new TextEncoder().encode(text);

describe("many files at once", () => {
  const file = "Fluorite host_lot07_milled_p2.csv";

  test("go where their names say, new lots are made, and one undo takes all of it back", async () => {
    const other = "garnet host charge 31 gebrochen.csv";
    const reads = [
      await readReceived({ file, bytes: bytes(table), options }),
      await readReceived({ file: other, bytes: bytes(table), options }),
    ];
    const { body } = await post("/api/intake/places", { runs: reads.flatMap(runsToPlace) });
    expect(body.places.length).toBe(8);
    expect(body.places[0]).toEqual({
      material: "Fluorite host",
      lotId: 2,
      lot: "Fluorite host, lot 07",
      stage: "milled",
      portion: "2",
      question: null,
      double: null,
    });
    expect(body.places[7]).toMatchObject({ lotId: null, lot: "Garnet host, lot 31", stage: "crushed" });

    const names = ["run 1", "run 2", "run 3", "run 4"];
    const saved = await post("/api/intake", {
      lots: [{ name: "Garnet host, lot 31", material: "Garnet host" }],
      tables: [
        { file, text: table, runs: names.map((name) => ({ name, lotId: 2, stage: "milled", portion: "2" })) },
        { file: other, text: table, runs: names.map((name) => ({ name, newLot: 0, stage: "crushed" })) },
      ],
    });
    expect(saved).toMatchObject({ status: 201, body: { kept: 8, lotIds: [2, 3] } });
    const lot = await (await here.ask("GET", "/api/lots/2")).json();
    expect(lot.measurements[0].portion).toMatchObject({ name: "2" });
    const history = await (await here.ask("GET", "/api/trail")).json();
    expect(history.events[0].what).toBe(
      'imported eight runs into lots "Garnet host, lot 31" and "Fluorite host, lot 07"',
    );

    expect((await post("/api/undo", {})).status).toBe(200);
    expect((await here.ask("GET", "/api/lots/3")).status).toBe(404);
    expect((await (await here.ask("GET", "/api/lots/2")).json()).measurements).toEqual([]);
    expect((await post("/api/redo", {})).status).toBe(200);
    expect((await (await here.ask("GET", "/api/lots/3")).json()).measurements.length).toBe(4);
  });

  test("that hold what is saved already are named, the same file or the same curve in another", async () => {
    const again = await readReceived({ file: "copy.csv", bytes: bytes(table), options });
    const retold = await readReceived({
      file: "other.csv",
      bytes: bytes(table.replaceAll(";", "\t")),
      options,
    });
    const { body } = await post("/api/intake/places", { runs: [again, retold].flatMap(runsToPlace) });
    expect(body.places[0].double).toMatchObject({ as: "same file", lotId: 2, name: file });
    expect(body.places[4].double).toMatchObject({
      as: "same curve",
      lot: "Fluorite host, lot 07",
      stage: "milled",
      name: "run 1",
    });
  });

  test("of which one cannot be read leave nothing behind", async () => {
    const before = await (await here.ask("GET", "/api/lots")).json();
    const refused = await post("/api/intake", {
      lots: [{ name: "Garnet host, lot 32", material: "Garnet host" }],
      tables: [
        { file: "a.csv", text: table, runs: [{ name: "run 1", newLot: 0, stage: "fired" }] },
        { file: "b.csv", text: "no table", runs: [{ name: "run 1", newLot: 0, stage: "fired" }] },
      ],
    });
    expect(refused.status).toBe(422);
    expect(refused.body).toMatchObject({ kept: 0, problems: [{ file: "b.csv" }] });
    const density = await post("/api/intake", {
      lots: [{ name: "X1", material: "a new host" }],
      tables: [{ file: "a.csv", text: table, runs: [{ name: "run 1", newLot: 0, stage: "fired" }] }],
    });
    expect(density.status).toBe(422);
    expect(density.body.detail).toMatch(/there is no material "a new host" yet/);
    expect((await (await here.ask("GET", "/api/lots")).json()).total).toBe(before.total);
  });

  /** All 200 files of a week with `npm run hard`; else every eighth, in the same share of the time. */
  const share = process.env["FINEBAND_HARD"] === "whole" ? 1 : 8;
  test("are read and saved in the time there is for them", async () => {
    const used = process.cpuUsage();
    const files = Array.from({ length: 200 / share }, (_, i) => ({
      file: `${i % 2 === 0 ? "garnet" : "fluorite"} host lot ${100 + (i >> 2)} ${["fired", "broyé", "gemahlen", "2nd firing"][i % 4]} p${1 + (i % 3)}.csv`,
      text: tableOf(i),
    }));
    const reads = [];
    for (const { file: name, text } of files)
      reads.push(await readReceived({ file: name, bytes: bytes(text), options }));
    const { body } = await post("/api/intake/places", { runs: reads.flatMap(runsToPlace) });
    const readS = process.cpuUsage(used).user / 1e6;
    expect(body.places.every((place: { question: string | null }) => place.question === null)).toBe(true);
    const lots: { name: string; material: string }[] = [];
    let at = 0;
    const tables = reads.map(({ file: name, measurements }, i) => ({
      file: name,
      text: files[i]?.text,
      runs: measurements.map((run) => {
        const place = body.places[at++];
        let newLot = lots.findIndex((lot) => lot.name === place.lot);
        if (newLot < 0) newLot = lots.push({ name: place.lot, material: place.material }) - 1;
        return { name: run.name, newLot, stage: place.stage, portion: place.portion };
      }),
    }));
    const usedBefore = process.cpuUsage();
    const saved = await post("/api/intake", { lots, tables });
    const savedS = process.cpuUsage(usedBefore).user / 1e6;
    console.log(
      `${files.length} files, ${body.places.length} runs: read and placed in ${readS.toFixed(1)} s, saved in ${savedS.toFixed(1)} s of the processor`,
    );
    expect(saved).toMatchObject({ status: 201, body: { kept: 800 / share } });
    expect(readS).toBeLessThan(10 / share);
    expect(savedS).toBeLessThan(3 / share + 1);
    await post("/api/undo", {});
  });
});
