import { readFileSync } from "node:fs";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type KeptHere, keepHere } from "../saved.ts";

// A history of an invented spinel line: lots with metadata, one with percentiles only, one with its curve file beside.
const history = [
  "Batch;Produced on;Firing temp. (°C);Hold (h);Air m3/h;wheel rpm;BET (m²/g);u(BET);D10 µm;D50 µm;D90 µm;Glow;File",
  "S-01;03.02.2019;1140;4;185;6000;1,11;0,02;1,4;3,2;6,1;17;",
  "S-02;17.02.2019;1150;4;185;6200;1,21;0,02;;;;18;spinel_old_02.csv",
  "S-03;31.02.2019;1150;4;185;6200;1,2;;;;;19;",
].join("\n");
const curves = readFileSync(
  new URL("../../../distributions/samples/lots/garnet-07/milled.csv", import.meta.url),
  "utf8",
);

let here: KeptHere;
beforeAll(async () => {
  here = await keepHere();
});
afterAll(() => here.close());

const post = async (body: object) => {
  const answer = await here.ask("POST", "/api/lab-table", body);
  return { status: answer.status, body: await answer.json() };
};
const asked = {
  text: history,
  material: "spinel host",
  densityGPerCm3: 3.6,
  stage: "milled",
  columns: { Glow: { as: "result" as const } },
  beside: [{ file: "spinel_old_02.csv", text: curves, options: {} }],
};

test("a history of years comes in from one spreadsheet, with what each row became", async () => {
  const look = await post({ ...asked, columns: {} });
  expect(look.status).toBe(200);
  expect(look.body).toMatchObject({ kept: 2, seq: null });
  expect(look.body.columns.find(({ heading }: { heading: string }) => heading === "Glow").as).toBe("open");
  expect((await (await here.ask("GET", "/api/lots")).json()).lots).toEqual([]);

  const { body } = await post({ ...asked, save: true });
  expect(body.rows.map(({ became }: { became: string }) => became)).toMatchInlineSnapshot(`
    [
      "a new lot; made 2019-02-03; fired: temperature 1140 °C and time 4 h; milled: gas flow 185 m³/h and wheel speed 6000 rpm; BET area 1.11 m²/g of milled; stated D10 1.40 µm of milled; stated D50 3.20 µm of milled; stated D90 6.10 µm of milled; Glow 17.0 of milled; percentiles without a curve are kept as results, and no band judges them",
      "a new lot; made 2019-02-17; fired: temperature 1150 °C and time 4 h; milled: gas flow 185 m³/h and wheel speed 6200 rpm; BET area 1.21 m²/g of milled; Glow 18.0 of milled; four runs of spinel_old_02.csv",
      "left out: "31.02.2019" cannot stand",
    ]
  `);
  expect(body.problems).toMatchObject([{ row: 4, column: 2, found: "31.02.2019" }]);
  const { lots } = await (await here.ask("GET", "/api/lots")).json();
  expect(lots.map(({ name, dateMade }: { name: string; dateMade: string }) => [name, dateMade])).toEqual([
    ["lot S-01", "2019-02-03"],
    ["lot S-02", "2019-02-17"],
  ]);
  const card = await (await here.ask("GET", `/api/lots/${lots[1].id}/card`)).json();
  expect(card.results.map(({ name, value, stage }: Record<string, unknown>) => [name, value, stage])).toEqual(
    [
      ["BET area", 1.21, "milled"],
      ["Glow", 18, "milled"],
    ],
  );
  const whole = await (await here.ask("GET", `/api/lots/${lots[1].id}`)).json();
  expect(whole.measurements.map(({ stage }: { stage: string }) => stage)).toEqual(Array(4).fill("milled"));
});

test("the same again adds nothing, a copy pasted back adds nothing, and one undo takes all of it back", async () => {
  const stands = async () =>
    (await (await here.ask("GET", "/api/copy")).text()).replace(/"version":\d+/g, "");
  const before = await stands();
  const again = await post({ ...asked, save: true });
  expect(again.body.problems).toMatchObject([{ row: 4 }, { severity: "note", message: /saved already/ }]);
  const { text } = await (await here.ask("GET", "/api/lab-table")).json();
  await post({ text, save: true });
  expect(await stands()).toBe(before);
  for (let i = 0; i < 3; i++) await here.ask("POST", "/api/undo", {});
  expect((await (await here.ask("GET", "/api/lots")).json()).lots).toEqual([]);
});
