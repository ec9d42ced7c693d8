import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { type KeptHere, keepHere } from "./saved.ts";

// A lab names the steps of a material; what is saved and asked takes these names as it takes the usual ones. No outside
// source is needed: it is the rule of the records.

const steps = [
  { name: "fired", id: "fired", kind: "fired" },
  { name: "milled", id: "milled", kind: "milled" },
  { name: "Second milling", kind: "milled" },
  { name: "re-fired", id: "re-fired", kind: "heat-treated" },
];
const table = (shift: number) => {
  const shares = [4, 12, 24, 30, 20, 8, 2];
  const rows = shares.map((share, i) => `${(0.5 * shift * 1.6 ** i).toFixed(4)};${share}`);
  return `${["Size (µm);run 1", ...rows].join("\n")}\n`;
};

describe("steps of the lab's own naming", () => {
  let here: KeptHere;
  let lotId: number;
  const ask = async (method: string, path: string, body?: object) => {
    const answer = await here.ask(method, path, body);
    return { status: answer.status, body: answer.status === 204 ? null : await answer.json() };
  };
  const importAt = (stage: string, shift = 1) =>
    ask("POST", `/api/lots/${lotId}/measurements`, {
      stage,
      file: "a.csv",
      text: table(shift),
      options: { edge: "upper", values: "class", quantity: "volume" },
    });
  const stagesNow = async () => (await ask("GET", `/api/lots/${lotId}`)).body.lot.stages;
  beforeEach(async () => {
    here = await keepHere();
    await ask("POST", "/api/materials", { name: "garnet", densityGPerCm3: 4.55, steps });
    lotId = (await ask("POST", "/api/lots", { name: "A", material: "garnet" })).body.lot.id;
  });
  afterEach(() => here.close());

  test("runs are saved at it in the order of the process, whatever case or blank it is asked with", async () => {
    for (const stage of ["re-fired", "second  MILLING", "milled"])
      expect((await importAt(stage)).status, stage).toBe(201);
    expect(await stagesNow()).toEqual([
      { stage: "milled", runs: 1 },
      { stage: "Second milling", runs: 1 },
      { stage: "re-fired", runs: 1 },
    ]);
    const listed = await ask("GET", "/api/lots?limit=5&sort=d50&stage=second-milling");
    expect(listed.body.lots[0].name).toBe("A");
    const sheet = await here.ask("GET", `/api/lots/${lotId}/sheet?stage=second%20milling`);
    const html = await sheet.text();
    expect([sheet.status, html.includes("Second milling")]).toEqual([200, true]);
    // What each step did to the fines, in the order of the lab's own process.
    const balance = html.slice(html.indexOf("Fines balance"));
    const steps = ["milled", "Second milling", "re-fired"].map((word) => balance.indexOf(word));
    expect(steps.toSorted((a, b) => a - b)).toEqual(steps);
    expect(steps[0]).toBeGreaterThan(0);
  });

  test("ground, history, calibration, release and summaries answer of it", async () => {
    await importAt("Second milling");
    const first = lotId;
    lotId = (await ask("POST", "/api/lots", { name: "B", material: "garnet" })).body.lot.id;
    await importAt("Second milling", 1.1);
    const ground = await ask("GET", `/api/lots/${lotId}/ground?stage=second%20milling`);
    expect(ground.body.sentence).toBe("one lot of garnet, Second milling");
    expect(ground.body.lots.map(({ id }: { id: number }) => id)).toEqual([first]);
    const history = await ask("GET", "/api/lot-history?material=garnet&stage=second%20milling");
    expect(history.body.lots).toEqual(["A", "B"]);
    const calibration = await ask("GET", `/api/lots/${lotId}/calibration?stage=second%20milling`);
    expect(calibration.body.ground).toBe("one lot of garnet, Second milling");
    const released = await ask("POST", `/api/lots/${lotId}/frozen`, {
      stage: "second milling",
      name: "r",
      note: "",
    });
    expect(released.status).toBe(201);
    await here.store.summarize(10);
    const { summaries } = (await ask("GET", `/api/lots/${lotId}/summaries`)).body;
    expect(summaries.map(({ stage }: { stage: string }) => stage)).toEqual(["Second milling"]);
  });

  test("settings, results, parents and trials take it too", async () => {
    await importAt("Second milling");
    const noted = await ask("PUT", `/api/lots/${lotId}/stages/second%20milling`, {
      settings: [{ name: "wheel speed", value: "6200", unit: "rpm" }],
      note: "",
    });
    expect(noted.status).toBe(200);
    const result = { stage: "SECOND MILLING", name: "moisture", value: 1, unit: "%" };
    expect((await ask("POST", `/api/lots/${lotId}/results`, result)).status).toBe(201);
    const card = (await ask("GET", `/api/lots/${lotId}/card`)).body;
    expect([card.stages[0].stage, card.results[0].stage]).toEqual(["Second milling", "Second milling"]);
    const parents = [{ lotId, stage: "second-milling", share: 1, massG: null }];
    const child = await ask("POST", "/api/lots", { name: "C", material: "garnet", parents });
    expect(child.body.lot.parents[0].stage).toBe("Second milling");
  });

  test("a new name of the step is shown, and both are understood", async () => {
    await importAt("Second milling");
    const [{ id: _, version: __, ...kept }] = (await ask("GET", "/api/materials")).body.materials;
    const renamed = kept.steps.map((step: { id: string }) =>
      step.id === "Second milling" ? { ...step, name: "fine milling" } : step,
    );
    expect((await ask("PUT", "/api/materials/1", { ...kept, steps: renamed })).status).toBe(200);
    expect(await stagesNow()).toEqual([{ stage: "Second milling", runs: 1, name: "fine milling" }]);
    for (const word of ["fine milling", "second milling"])
      expect((await ask("GET", `/api/lots/${lotId}/ground?stage=${word}`)).body.sentence).toBe(
        "no lots of garnet, fine milling",
      );
  });

  test("rework is one change: the new lot and what became of the old, and one undo takes back both", async () => {
    await importAt("milled");
    const asked = { name: "A again", stage: "Milled", massG: 480, why: "too coarse" };
    const made = await ask("POST", `/api/lots/${lotId}/rework`, asked);
    expect([made.status, made.body.lot.parents, made.body.lot.material]).toEqual([
      201,
      [{ lotId, stage: "milled", share: 1, massG: 480 }],
      "garnet",
    ]);
    const state = async () => (await ask("GET", `/api/lots/${lotId}`)).body.lot.state;
    expect(await state()).toMatchObject({
      name: "reworked into",
      lotId: made.body.lot.id,
      why: "too coarse",
    });
    expect((await ask("POST", "/api/undo")).status).toBeLessThan(300);
    expect([(await state()).name, (await ask("GET", "/api/lots")).body.total]).toEqual(["open", 1]);
    expect((await ask("POST", "/api/lots/99/rework", asked)).status).toBe(404);
    expect((await ask("POST", `/api/lots/${lotId}/rework`, { ...asked, stage: "polished" })).status).toBe(
      422,
    );
  });

  test("a word that means no step is refused, with those that do", async () => {
    const refused = await importAt("polished");
    expect([refused.status, refused.body.detail]).toEqual([
      422,
      "stage must be one of fired, milled, Second milling, re-fired, precursor, crushed, reference, got polished",
    ]);
    expect((await ask("GET", `/api/lots/${lotId}/ground?stage=polished`)).status).toBe(422);
    expect((await ask("GET", "/api/lots?stage=polished")).status).toBe(422);
  });

  test("a step stays while lots have runs of it, and goes with them into another material", async () => {
    await importAt("Second milling");
    const [{ id: _, version: __, ...kept }] = (await ask("GET", "/api/materials")).body.materials;
    const without = kept.steps.filter((step: { id: string }) => step.id !== "Second milling");
    const refused = await ask("PUT", "/api/materials/1", { ...kept, steps: without });
    expect([refused.status, refused.body.detail]).toEqual([
      422,
      `step "Second milling" cannot be taken away while lots have it, got lot 1`,
    ]);
    await ask("POST", "/api/materials", { name: "spinel", densityGPerCm3: 3.6 });
    const moved = await ask("PUT", `/api/lots/${lotId}`, { name: "A", material: "spinel" });
    expect(moved.status).toBe(422);
    expect((await ask("POST", "/api/materials/1/merge", { intoId: 2 })).status).toBe(200);
    expect(await stagesNow()).toEqual([{ stage: "Second milling", runs: 1 }]);
    expect((await importAt("second milling")).status).toBe(201);
  });
});
