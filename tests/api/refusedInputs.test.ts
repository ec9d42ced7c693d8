import { afterAll, beforeAll, expect, test } from "vitest";
import { usualPriors } from "../../model/mill/trials/priors.ts";
import { type KeptHere, keepHere } from "./saved.ts";

// What cannot be kept of a lab of several materials, and what is said of it. No outside source is needed: these are the
// rules of the records.

let here: KeptHere;
let before: string;
const machine = {
  wheelRadiusM: 0.05,
  wheelHeightM: 0.05,
  freeAreaShare: 0.7,
  swirlRatio: 1,
  ratedSpeedRpm: 9000,
  gas: "air",
  temperatureC: 20,
  pressurePa: 1e5,
  gasFlowM3PerH: 200,
  particleDensityGPerCm3: 4.5,
};
const trial = { speedRpm: 6000, gasFlowM3PerH: null, feedKgPerH: null, d10Um: null, d50Um: 2, d90Um: null };
const lot = (more: object) => ({ name: "N", material: "garnet", densityGPerCm3: 4.55, ...more });
const from = (lotId: number, share: number, stage = "milled") => ({ lotId, stage, share, massG: null });
const steps = [{ name: "milled", kind: "milled" }];

beforeAll(async () => {
  here = await keepHere();
  const post = async (path: string, body: object) =>
    expect((await here.ask("POST", path, body)).status, path).toBe(201);
  // Materials 1 and 2, lots 1 to 3: B comes from A, C is of another material.
  await post("/api/materials", { name: "garnet", densityGPerCm3: 4.55, steps });
  await post("/api/materials", { name: "Ceria", densityGPerCm3: 7.2, steps });
  await post("/api/lots", lot({ name: "A" }));
  await post("/api/lots", lot({ name: "B", parents: [from(1, 1)] }));
  await post("/api/lots", { name: "C", material: "Ceria" });
  await post("/api/mills", { name: "M", mill: machine });
  before = await here.store.copy();
});
afterAll(() => here.close());

const asTrial = (more: object) => ({ trials: [{ name: "t", trial, ...more }] });

test.each([
  [
    "a second material of a name",
    "POST",
    "/api/materials",
    { name: " CERIA ", densityGPerCm3: 7, steps },
    /material 2 is called "Ceria"/,
  ],
  ["a material without a name", "POST", "/api/materials", { name: " ", densityGPerCm3: 7, steps }, /name/],
  [
    "another's name taken",
    "PUT",
    "/api/materials/1",
    { name: "ceria", densityGPerCm3: 7, steps },
    /merge the two/,
  ],
  ["a density of 0", "POST", "/api/materials", { name: "D", densityGPerCm3: 0, steps }, /density/i],
  ["a density below 0 of a lot", "POST", "/api/lots", lot({ densityGPerCm3: -1 }), /density/i],
  [
    "two steps of a name",
    "POST",
    "/api/materials",
    { name: "D", densityGPerCm3: 7, steps: [...steps, ...steps] },
    /name of its own/,
  ],
  ["no steps", "POST", "/api/materials", { name: "D", densityGPerCm3: 7, steps: [] }, /at least one/],
  [
    "a lot of a new material without density",
    "POST",
    "/api/lots",
    { name: "N", material: "new" },
    /no material "new" yet/,
  ],
  ["a parent of itself", "PUT", "/api/lots/1", lot({ name: "A", parents: [from(1, 1)] }), /itself/],
  [
    "a cycle of parents",
    "PUT",
    "/api/lots/1",
    lot({ name: "A", parents: [from(2, 1)] }),
    /itself|circle|cycle|comes from/,
  ],
  ["shares over 1", "POST", "/api/lots", lot({ parents: [from(1, 0.7), from(2, 0.7)] }), /shares?/],
  ["shares below 1", "POST", "/api/lots", lot({ parents: [from(1, 0.2), from(2, 0.2)] }), /shares?/],
  ["a share of 0", "POST", "/api/lots", lot({ parents: [from(1, 0), from(2, 1)] }), /share/],
  ["one parent twice", "POST", "/api/lots", lot({ parents: [from(1, 0.5), from(1, 0.5)] }), /twice|once/],
  ["a parent that is not there", "POST", "/api/lots", lot({ parents: [from(99, 1)] }), /99/],
  [
    "a parent at an unknown stage",
    "POST",
    "/api/lots",
    lot({ parents: [from(1, 1, "polished")] }),
    /polished|stage/,
  ],
  [
    "a trial fed with another material's lot",
    "POST",
    "/api/mills/1/trials",
    asTrial({ materialId: 1, feed: { lotId: 3, stage: "milled" } }),
    /must feed and make lots of that material/,
  ],
  [
    "a trial that made another material's lot",
    "POST",
    "/api/mills/1/trials",
    asTrial({ feed: { lotId: 1, stage: "milled" }, sample: { lotId: 3, stage: "milled" } }),
    /must feed and make lots of that material/,
  ],
  ["a trial of a material that is not there", "POST", "/api/mills/1/trials", asTrial({ materialId: 9 }), /9/],
  ["a merge with itself", "POST", "/api/materials/1/merge", { intoId: 1 }, /another/],
  [
    "a grinding limit of 0",
    "PUT",
    "/api/mills/1/materials/1",
    { priors: usualPriors, excludedLots: [], grindingLimitUm: 0 },
    /grindingLimitUm/,
  ],
  [
    "a state into itself",
    "POST",
    "/api/lots/1/state",
    { name: "blended into", why: "", lotId: 1 },
    /another/,
  ],
] as const)("%s is refused in words, and nothing is kept", async (_, method, path, body, why) => {
  const answer = await here.ask(method, path, body);
  const said = await answer.json();
  expect([404, 409, 422], JSON.stringify(said)).toContain(answer.status);
  expect(said.detail).toMatch(why);
  expect(await here.store.copy()).toBe(before);
});

// A copy may have been edited by hand; page, HTTP and command line all bring it in this way.
test.each([
  [
    "a second material of a name",
    '"name":"Ceria"',
    '"name":"GARNET"',
    /material 2 is called "GARNET" as material 1 is/,
  ],
  ["a density of 0", '"densityGPerCm3":7.2,"steps"', '"densityGPerCm3":0,"steps"', /material 2 .* above 0/],
  ["a share over 1", '"share":1', '"share":1.4', /lot 2: share of a parent must be above 0 and at most 1/],
  [
    "a parent of itself",
    '"parents":[{"lotId":1',
    '"parents":[{"lotId":2',
    /lot 2: parent cannot be the lot itself/,
  ],
] as const)("a copy with %s is refused in words, and nothing is kept", async (_, right, wrong, why) => {
  expect(before).toContain(right);
  const answer = await here.app.request("/api/copy", {
    method: "POST",
    headers: { "content-type": "application/octet-stream" },
    body: before.replace(right, wrong),
  });
  expect([answer.status, (await answer.json()).detail]).toEqual([422, expect.stringMatching(why)]);
  expect(await here.store.copy()).toBe(before);
});
