import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, expect, test } from "vitest";
import { makeApp } from "../../../api/app.ts";
import { saveHostLine } from "../../../api/demo.ts";
import type { ChangeContext } from "../../../api/store/ledger/ledger.ts";
import { checkAnswer } from "../../../model/answers/lot/checkAnswer.ts";
import { describeStore, type Opened } from "./engines.ts";

const samples = fileURLToPath(new URL("../../../distributions/samples", import.meta.url));
const someone: ChangeContext = { kind: "change", by: "Ana", why: "", request: null };

describeStore("summaries", (open) => {
  let opened: Opened;
  beforeAll(async () => {
    opened = await open();
    await saveHostLine(opened.store, samples);
  });
  afterAll(async () => {
    expect((await opened.store.verify()).faults).toEqual([]);
    await opened.done();
  });
  const all = async () => {
    while ((await opened.store.summarize(5)).lots > 0);
  };
  const listed = async (asked: Parameters<Opened["store"]["lots"]>[0] = {}) =>
    (await opened.store.lots(asked)).lots;

  test("say what the lot's own page answers, and what they rest on", async () => {
    const { store } = opened;
    const before = await listed();
    expect(before.every((lot) => lot.summary === null)).toBe(true);
    expect(await store.oldSummaries()).toBe(before.length);
    await all();
    expect(await store.oldSummaries()).toBe(0);
    for (const { id, summary } of await listed({ stage: "re-fired" })) {
      if (summary === null) continue;
      const sheet = await store.onSheet(id, "re-fired");
      const ground = await store.ground(id, { stage: "re-fired" });
      expect(summary.basis.ground.sentence).toBe(ground?.sentence);
      expect(summary.basis.ground.lots).toBe(ground?.lots.length);
      expect(summary.basis.band === null).toBe(sheet?.band === null);
      expect(summary.stale).toBe(false);
      expect(summary.runs).toBe(
        sheet?.measurements.filter((m) => m.stage === "re-fired" && m.exclusionReason === null).length,
      );
    }
  });

  test("a list says how each lot stands by each limit where it is asked, as the lot's own check does", async () => {
    expect((await listed()).every((l) => l.summary?.standing === undefined)).toBe(true);
    const asked = await listed({ with: "standing", material: "yttrium aluminium garnet" });
    const judged = asked.filter((l) => l.summary?.isFinal);
    expect(judged.length).toBeGreaterThan(4);
    const { store } = opened;
    for (const { id, summary } of judged) {
      const sheet = await store.onSheet(id, summary?.stage ?? "re-fired");
      if (sheet?.band == null) throw new Error("A lot that is judged has a band.");
      const runs = sheet.measurements.filter((m) => m.stage === summary?.stage && m.exclusionReason === null);
      const { verdict, rows } = checkAnswer(runs, sheet.band);
      expect(summary?.standing).toMatchObject({ verdict, rows, isPredicted: false });
      expect(summary?.verdict).toBe(verdict);
    }
    // Those on their way are predicted from the milled powder, by the growth of the lots of their own material.
    const onTheWay = (await listed({ with: "standing", verdict: "in band" })).filter(
      (l) => !l.summary?.isFinal,
    );
    for (const { summary } of onTheWay) expect(summary?.standing?.verdict).toBeNull();
  });

  test("the list is sorted by any of them, in pages that together are the whole", async () => {
    const sorts = ["day", "name", "verdict", "chance", "d10", "d50", "d90", "area", "bet"] as const;
    for (const sort of sorts)
      for (const direction of ["ascending", "descending"] as const) {
        const whole = (await listed({ sort, direction })).map((l) => l.id);
        const paged: number[] = [];
        let cursor: string | null = null;
        do {
          const page = await opened.store.lots({
            sort,
            direction,
            limit: 2,
            ...(cursor === null ? {} : { cursor }),
          });
          expect(page.total).toBe(whole.length);
          paged.push(...page.lots.map((l) => l.id));
          cursor = page.next;
        } while (cursor !== null);
        expect(paged).toEqual(whole);
        expect(new Set(paged).size).toBe(whole.length);
      }
    const d50 = (await listed({ sort: "d50", direction: "ascending" })).map((l) => l.summary?.d50Um?.value);
    const known = d50.filter((v) => v !== undefined);
    expect(known).toEqual(known.toSorted((a, b) => a - b));
    expect(d50.slice(0, known.length)).toEqual(known);
  });

  test("the list is filtered by them, and a cursor of one's own making is refused", async () => {
    const every = await listed();
    for (const verdict of ["in band", "out of band", "on the edge"] as const)
      expect((await listed({ verdict })).map((l) => l.id)).toEqual(
        every.filter((l) => l.summary?.verdict === verdict).map((l) => l.id),
      );
    const middle = every.flatMap((l) => l.summary?.d50Um?.value ?? []).toSorted((a, b) => a - b)[2];
    if (middle === undefined) throw new Error("The demo has lots with sizes.");
    expect((await listed({ d50ToUm: middle })).length).toBe(3);
    const app = makeApp({ store: opened.store, uiFolder: null, log: () => {} });
    const first = await app.request("/api/lots?sort=d50&limit=2");
    expect(first.headers.get("link")).toMatch(/^<\/api\/lots\?sort=d50&limit=2&cursor=[\w-]+>; rel="next"$/);
    const refused = await app.request("/api/lots?sort=d50&limit=2&cursor=abc");
    expect(refused.status).toBe(422);
    expect(await refused.text()).toContain("Ask for the first page without one");
    const ofLot = await app.request(`/api/lots/${every[0]?.id}/summaries`);
    expect(ofLot.status).toBe(200);
    expect((await app.request("/api/lots/999/summaries")).status).toBe(404);
  });

  test("are old from a change of a run, a band, or another lot of the material on, until computed anew", async () => {
    const { store } = opened;
    const [lot] = (await listed({ sort: "day" })).filter((l) => l.summary?.stage === "re-fired");
    const own = await store.lot(lot?.id ?? 0);
    const run = own?.measurements.find((m) => m.stage === lot?.summary?.stage);
    if (run === undefined) throw new Error("The newest lot that was re-fired has runs.");
    const was = (await listed()).map((l) => l.summary?.basis.ground.checksum);
    const { name, stage } = run;
    await store.changeMeasurement(run.id, { name, stage, exclusionReason: "spilt" }, null, someone);
    const after = await listed({ material: lot?.material ?? "" });
    expect(after.filter((l) => l.summary !== null).every((l) => l.summary?.stale)).toBe(true);
    await all();
    expect((await listed()).every((l) => l.summary?.stale !== true)).toBe(true);
    await store.step("undo", null, someone);
    await all();
    expect((await listed()).map((l) => l.summary?.basis.ground.checksum)).not.toEqual(was);
    // A name is no number.
    const { lots } = await store.lots({ limit: 1 });
    const [renamed] = lots;
    if (renamed === undefined) throw new Error("There are lots.");
    await store.changeLot(renamed.id, { ...renamed, name: "Renamed" }, null, someone);
    expect(await store.oldSummaries()).toBe(0);
    const [band] = (await store.bands()).bands;
    if (band === undefined) throw new Error("The demo has a band.");
    await store.changeBand(band.id, { ...band.band, name: "Other" }, null, someone);
    expect(await store.oldSummaries()).toBeGreaterThan(0);
  });

  test("a list that no longer fits what is saved is found and mended", async () => {
    await opened.db.updateTable("lot_list").set({ words: "" }).where("lot", "=", 1).execute();
    await opened.db.updateTable("lot_stages").set({ runs: 99 }).where("lot", "=", 2).execute();
    expect((await opened.store.verify()).faults).toEqual([
      "Lot 1 is not listed as it is saved.",
      "The runs of lot 2 are not counted as they are saved.",
    ]);
    await opened.store.mend();
  });

  test("a backup brought back lists the same lots", async () => {
    const names = (await listed({ sort: "name" })).map((l) => l.name);
    let text = "";
    for await (const line of opened.store.backup()) text += line;
    await opened.store.restore(text, someone);
    const back = await listed({ sort: "name" });
    expect(back.map((l) => l.name)).toEqual(names);
  });
});
