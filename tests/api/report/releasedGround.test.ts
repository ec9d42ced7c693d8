import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, expect, test } from "vitest";
import { z } from "zod";
import { makeApp } from "../../../api/app.ts";
import { saveHostLine } from "../../../api/demo.ts";
import { openDatabase } from "../../../api/store/database/database.ts";
import { ownDoing } from "../../../api/store/ledger/ledger.ts";
import { makeStore, type Store } from "../../../api/store/store.ts";
import { inReportWords } from "../../../model/words/wording.ts";

const folder = mkdtempSync(join(tmpdir(), "fineband-ground-"));
let store: Store;
let app: ReturnType<typeof makeApp>;

beforeAll(async () => {
  store = makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
  await saveHostLine(store, fileURLToPath(new URL("../../../distributions/samples", import.meta.url)));
  app = makeApp({ store, uiFolder: null, log: () => {} });
});
afterAll(async () => {
  await store.close();
  rmSync(folder, { recursive: true });
});

const sheetOf = async (id: number) => (await app.request(`/api/frozen/${id}/sheet`)).text();

test("a release record says what its sheet and check say: with the lots that taught it, their runs, and the instrument's checks", async () => {
  const { measurements } = (await store.lot(1)) ?? { measurements: [] };
  const runs = measurements.filter((m) => m.stage === "re-fired" && m.exclusionReason === null);
  for (const run of runs)
    await store.changeMeasurement(
      run.id,
      { ...run, howMeasured: { ...run.howMeasured, instrument: "laser A" } },
      null,
      ownDoing,
    );
  const check = { day: "2026-11-01", referenceMaterial: "beads", unit: "µm", standardUncertainty: 0.02 };
  const kept = await app.request("/api/instruments", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({
      name: "Laser A",
      checks: [
        { ...check, quantity: "D50", stated: 2, found: 2.02 },
        { ...check, quantity: "D50", stated: 2, found: 1.99 },
      ],
    }),
  });
  expect(kept.status).toBe(201);
  await store.release(1, { stage: "re-fired", name: "whole", note: "" }, ownDoing);
  const id = (await store.card(1)).released.at(-1)?.id ?? 0;
  const shown = await store.releaseRecord(id);
  const { inputs, result } = z
    .object({
      inputs: z.object({
        checks: z.array(z.object({ measurand: z.string(), stated: z.number(), measured: z.number() })),
        ground: z.object({ lots: z.array(z.object({ runs: z.array(z.object({ id: z.number() })) })) }),
      }),
      result: z.object({
        check: z.object({ release: z.object({ sentence: z.string() }) }),
        budget: z.object({ sentence: z.string() }),
      }),
    })
    .parse(shown?.released);
  expect(inputs.checks.map((c) => [c.measurand, c.stated, c.measured])).toEqual([
    ["d50Um", 2, 2.02],
    ["d50Um", 2, 1.99],
  ]);
  expect(inputs.ground.lots.length).toBeGreaterThan(2);
  expect(shown?.again.differences).toEqual([]);
  expect(shown?.changedInputs).toEqual([]);
  const page = await sheetOf(id);
  expect(page).toContain(inReportWords(result.check.release.sentence));
  expect(page).toContain("reference material");
  // What taught it may change afterwards: the record stays, and says so beside today's answer.
  const taught = inputs.ground.lots[0]?.runs[0]?.id ?? 0;
  const lots = await Promise.all([2, 3, 4, 5, 6].map((lot) => store.lot(lot)));
  const teacher = lots.flatMap((lot) => lot?.measurements ?? []).find((run) => run.id === taught);
  if (teacher === undefined) throw new Error("a lot taught it");
  await store.changeMeasurement(taught, { ...teacher, exclusionReason: "bubble" }, null, ownDoing);
  const later = await store.releaseRecord(id);
  expect(later?.released).toEqual(shown?.released);
  expect(later?.changedInputs).toEqual(["runs of the lots that taught it changed"]);
  expect(later?.again.differences.length).toBeGreaterThan(0);
  await store.changeMeasurement(taught, teacher, null, ownDoing);
});

test("a report names whose lots its chances and its BET area rest on, with the mill and the instrument", async () => {
  const sheetOfLot = async () => (await app.request("/api/lots/2/sheet?stage=re-fired")).text();
  const lots = "five lots of yttrium aluminium garnet, re-fired";
  // The runs of lot 1 name their instrument since the test above; no trial says yet which mill made a lot.
  expect(await sheetOfLot()).toContain(
    `The chances and the pooled scatter rest on these runs and on ${lots}, measured with laser A.`,
  );
  expect(await sheetOfLot()).toMatch(/It rests on [a-z]+ pairs? (of five lots of|typed by hand)/);
  const trial = (await store.trials(1)).trials[0];
  if (trial === undefined) throw new Error("the demo has trials");
  const { millId: _, id, version: __, materialId: ___, ...entered } = trial;
  const materialId = (await store.lot(1))?.lot.materialId ?? null;
  await store.changeTrial(
    id,
    { ...entered, materialId, sample: { lotId: 1, stage: "milled" } },
    null,
    ownDoing,
  );
  const { mills } = await store.mills();
  expect(await sheetOfLot()).toContain(`on ${lots}, on ${mills[0]?.name}, measured with laser A.`);
});

test("a release of portions whose measuring is known keeps its hash", async () => {
  const { measurements } = (await store.lot(3)) ?? { measurements: [] };
  const runs = measurements.filter((m) => m.stage === "re-fired");
  const portion = { name: "A", drawn: "riffled", massG: 12, day: null };
  await store.noteHowMeasured(runs, { howMeasured: { operator: "A" }, portion }, ownDoing);
  await store.release(3, { stage: "re-fired", name: "a portion", note: "" }, ownDoing);
  expect((await store.verify()).faults).toEqual([]);
});
