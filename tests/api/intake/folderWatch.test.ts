import {
  appendFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout } from "node:timers/promises";
import { afterAll, beforeAll, expect, test } from "vitest";
import { FolderWatch } from "../../../api/intake/folderWatch.ts";
import { type KeptHere, keepHere } from "../saved.ts";

const table = readFileSync(
  new URL("../../../distributions/samples/lots/garnet-07/milled.csv", import.meta.url),
  "utf8",
);
/** No two hold the same curve: two small shares are a few thousandths of a per cent larger in each. */
const tableOf = (i: number) => {
  const shares = (step: (n: number) => number) =>
    [0, 1, 2, 3].map((run) => (0.01 + 0.001 * step(4 * i + run)).toFixed(3)).join(";");
  return table
    .replace("0.1364;0.1525;0.01;0.01;0.01;0.01", `0.1364;0.1525;${shares((n) => n % 80)}`)
    .replace("0.1525;0.1705;0.01;0.01;0.01;0.01", `0.1525;0.1705;${shares((n) => Math.floor(n / 80))}`);
};
const settleMs = 40;

let here: KeptHere;
const folder = mkdtempSync(join(tmpdir(), "fineband-watched-"));
beforeAll(async () => {
  here = await keepHere();
  for (const material of ["Garnet host", "Fluorite host"])
    await here.ask("POST", "/api/lots", { name: `${material}, lot 07`, material, densityGPerCm3: 4.55 });
});
afterAll(async () => {
  await here.close();
  rmSync(folder, { recursive: true });
});

const watching = () => new FolderWatch(folder, () => Promise.resolve(here.store), settleMs);
/** Looks until nothing changes any more. */
async function untilDone(watch: FolderWatch): Promise<void> {
  for (let i = 0; i < 2000; i++) {
    if (await watch.pass()) return;
    await setTimeout(settleMs);
  }
  throw new Error("The folder is never done.");
}
const stateOf = (watch: FolderWatch, file: string) => watch.state.files.find((one) => one.file === file);
const put = (file: string, text: string) => writeFileSync(join(folder, file), text);
const runsOf = async (id: number): Promise<number> =>
  (await (await here.ask("GET", `/api/lots/${id}`)).json()).measurements.length;

test("certain files are saved with their source, others wait with their question, nothing there is changed", async () => {
  put("Garnet host lot 07 gemahlen p1.csv", tableOf(1));
  put("lot 07 fired.csv", tableOf(2));
  put("Fluorite host lot 08 milled.csv", tableOf(3));
  put("empty.csv", "");
  put("notes.txt", "a table is to follow\n");
  put("report.pdf", "no table");
  mkdirSync(join(folder, "november"));
  put("november/Fluorite host lot 07 crushed.csv", tableOf(4));
  put("november/again.csv", tableOf(4));
  const before = readdirSync(folder, { recursive: true });
  const watch = watching();
  await untilDone(watch);
  expect(readdirSync(folder, { recursive: true })).toEqual(before);
  expect(stateOf(watch, "Garnet host lot 07 gemahlen p1.csv")?.state).toBe("saved");
  expect(stateOf(watch, "november/Fluorite host lot 07 crushed.csv")?.state).toBe("saved");
  expect(stateOf(watch, "lot 07 fired.csv")?.question).toMatch(
    /Garnet host, lot 07.*Fluorite host, lot 07.*both meant/,
  );
  expect(stateOf(watch, "Fluorite host lot 08 milled.csv")?.question).toMatch(
    /lot 08 is a lot that is not there yet/,
  );
  expect(stateOf(watch, "empty.csv")?.question).toBe("It is empty.");
  expect(stateOf(watch, "notes.txt")?.state).toBe("waiting");
  expect(stateOf(watch, "report.pdf")).toBe(undefined);
  expect(stateOf(watch, "november/again.csv")?.state).not.toBe("saved");
  expect([await runsOf(1), await runsOf(2)]).toEqual([4, 4]);
  const { events } = await (await here.ask("GET", "/api/trail")).json();
  expect(events[0]).toMatchObject({ by: "watched folder" });
  expect(events[0].why).toMatch(/^november\/Fluorite host lot 07 crushed.csv, written 20\d\d-/);

  // The lot is made meanwhile: what waited for it is saved.
  await here.ask("POST", "/api/lots", { name: "Fluorite host, lot 08", material: "Fluorite host" });
  await watch.pass();
  await untilDone(watch);
  expect(stateOf(watch, "Fluorite host lot 08 milled.csv")?.state).toBe("saved");
});

test("a restart saves nothing twice, nor what was taken back", async () => {
  await here.ask("POST", "/api/undo", {});
  expect(await runsOf(3)).toBe(0);
  const watch = watching();
  await untilDone(watch);
  expect([await runsOf(1), await runsOf(2), await runsOf(3)]).toEqual([4, 4, 0]);
  expect(stateOf(watch, "Garnet host lot 07 gemahlen p1.csv")?.state).toBe("saved already");
});

test("a file that is still being written is left until it rests, and one that is moved away is forgotten", async () => {
  const watch = watching();
  const file = "Garnet host lot 07 crushed p9.csv";
  const text = tableOf(9);
  put(file, text.slice(0, 400));
  for (let at = 400; at < text.length; at += 400) {
    await watch.pass();
    appendFileSync(join(folder, file), text.slice(at, at + 400));
  }
  expect(stateOf(watch, file)?.state ?? "being written").toBe("being written");
  await untilDone(watch);
  expect(stateOf(watch, file)?.state).toBe("saved");
  expect(await runsOf(1)).toBe(8);
  put("lot 07 milled late.csv", tableOf(10));
  await untilDone(watch);
  renameSync(join(folder, "lot 07 milled late.csv"), join(folder, "late.bak"));
  await watch.pass();
  expect(stateOf(watch, "lot 07 milled late.csv")).toBe(undefined);
});

test("a folder that is away is said, and looked at again when it is there", async () => {
  const away = new FolderWatch(join(folder, "share"), () => Promise.resolve(here.store), settleMs);
  expect(await away.pass()).toBe(false);
  expect(away.state.fault).toMatch(/ENOENT/);
  mkdirSync(join(folder, "share"));
  expect(await away.pass()).toBe(true);
  expect(away.state.fault).toBe(null);
});

/** A thousand with `npm run hard`. */
const many = process.env["FINEBAND_HARD"] === "whole" ? 1000 : 25;
test(`${many} files dropped at once are all there, over a restart in between`, {
  timeout: 600_000,
}, async () => {
  const before = (await runsOf(1)) + (await runsOf(2));
  for (let i = 0; i < many; i++)
    put(`${i % 2 === 0 ? "Garnet" : "Fluorite"} host lot 07 milled p${100 + i}.csv`, tableOf(100 + i));
  const used = process.cpuUsage();
  const first = watching();
  await first.pass();
  await setTimeout(settleMs);
  // It is stopped while it saves.
  const passing = first.pass();
  await setTimeout(many * 5);
  await first.stop();
  await passing;
  const second = watching();
  await untilDone(second);
  const seconds = process.cpuUsage(used).user / 1e6;
  console.log(`${many} files of 4 runs each: saved in ${seconds.toFixed(1)} s of the processor`);
  expect((await runsOf(1)) + (await runsOf(2)) - before).toBe(4 * many);
});
