import { afterAll, beforeAll, expect, test } from "vitest";
import { type KeptHere, keepHere } from "../saved.ts";

let here: KeptHere;

beforeAll(async () => {
  here = await keepHere();
});
afterAll(() => here.close());

const ask: KeptHere["ask"] = (...asked) => here.ask(...asked);
const bodyOf = async (response: Promise<Response>) => (await response).json();

const text =
  "Dispersant: water\nRefractive index: 1.83\nlower um,upper um,a volume %,b volume %\n1,2,20,30\n2,4,60,60\n4,8,20,10\n";

test("what the table states is kept with each run, and what is told goes over it or takes it back", async () => {
  const { lot } = await bodyOf(ask("POST", "/api/lots", { name: "Lot 1", densityGPerCm3: 4.55 }));
  const bring = (howMeasured: object) =>
    ask("POST", `/api/lots/${lot.id}/measurements`, { stage: "milled", text, howMeasured });
  expect((await bring({ dispersant: null, operator: " J\tK ", obscurationPercent: 12 })).status).toBe(201);
  const runs = async () => (await bodyOf(ask("GET", `/api/lots/${lot.id}`))).measurements;
  const how = { refractiveIndex: 1.83, obscurationPercent: 12, operator: "J K" };
  expect((await runs()).map((m: { howMeasured: object }) => m.howMeasured)).toEqual([how, how]);
  expect((await bring({ obscurationPercent: 120 })).status).toBe(422);
  expect((await runs()).length).toBe(2);
});

test("it is noted for several runs at once, all or none, and undone in one step", async () => {
  const all = (await bodyOf(ask("GET", "/api/lots/1"))).measurements;
  const runs = all.map(({ id, version }: { id: number; version: number }) => ({ id, version }));
  const noted = { runs, howMeasured: { instrument: "cell 2", refractiveIndex: null } };
  expect(await bodyOf(ask("POST", "/api/how-measured", noted))).toEqual({ noted: 2 });
  const states = async () =>
    (await bodyOf(ask("GET", "/api/lots/1"))).measurements.map((m: { howMeasured: object }) => m.howMeasured);
  const after = { obscurationPercent: 12, operator: "J K", instrument: "cell 2" };
  expect(await states()).toEqual([after, after]);
  expect((await ask("POST", "/api/how-measured", noted)).status).toBe(412);
  expect((await ask("POST", "/api/how-measured", { ...noted, runs: [runs[0], runs[0]] })).status).toBe(422);
  const trail = await bodyOf(ask("GET", "/api/trail?limit=1"));
  expect(trail.events[0].what).toBe('noted how 2 runs were measured, of lot "Lot 1"');
  await ask("POST", "/api/undo");
  expect((await states())[0]).toMatchObject({ refractiveIndex: 1.83 });
});

test("one run's is changed with the rest of it, and stays when nothing is said of it", async () => {
  const run = { name: "a", stage: "milled" };
  expect(
    (await ask("PUT", "/api/measurements/1", { ...run, howMeasured: { technique: "sieving" } })).status,
  ).toBe(200);
  expect((await ask("PUT", "/api/measurements/1", { ...run, name: "a2" })).status).toBe(200);
  const [first, second] = (await bodyOf(ask("GET", "/api/lots/1"))).measurements;
  expect(first).toMatchObject({ name: "a2", howMeasured: { technique: "sieving" } });
  expect(second.howMeasured).toMatchObject({ refractiveIndex: 1.83 });
  await ask("PUT", "/api/measurements/1", { ...run, howMeasured: {} });
  expect((await bodyOf(ask("GET", "/api/lots/1"))).measurements[0]).not.toHaveProperty("howMeasured");
});

test("the sheet says it, differing runs and what is not stated included; a frozen answer holds it", async () => {
  const sheet = await (await ask("GET", "/api/lots/1/sheet")).text();
  expect(sheet).toContain(
    "Refractive index not stated or 1.83 (the runs differ); obscuration not stated or 12 % (the runs differ); operator not stated or J K (the runs differ). Not stated: technique, optical model, absorption index, dispersant, ultrasound power, ultrasound time, date, instrument and reference drum.",
  );
  const { id } = await bodyOf(ask("POST", "/api/lots/1/frozen", { stage: "milled", name: "x" }));
  const { frozen, changedInputs } = await bodyOf(ask("GET", `/api/frozen/${id}`));
  expect(frozen.inputs.runs[1].howMeasured).toMatchObject({ operator: "J K" });
  expect(changedInputs).toEqual([]);
});
