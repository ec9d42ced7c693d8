import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { goBelow } from "./browser.ts";
import { serve } from "./served.ts";

/** A grey point. Source of the format: ISO/IEC 15948. */
const greyPoint = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==",
  "base64",
);
const folder = mkdtempSync(join(tmpdir(), "fineband-copies-"));
let served: Awaited<ReturnType<typeof serve>>;

beforeAll(async () => {
  served = await serve();
});
afterAll(async () => {
  await served?.stop();
  rmSync(folder, { recursive: true });
});

async function open(place: string): ReturnType<typeof served.open> {
  const opened = await served.open(place);
  opened.page.setDefaultTimeout(30_000);
  return opened;
}

describe("the record of a lot in a real browser", { timeout: 120_000 }, () => {
  test("a result is saved with unit and uncertainty, edited, and undone", async () => {
    const { page, faults } = await open("#/lot?lot=1");
    await goBelow(page);
    const form = page.getByRole("form", { name: "New result" });
    await form.getByLabel("Result", { exact: true }).fill("tap density");
    expect(await form.getByLabel("Unit").inputValue()).toBe("g/cm³");
    await form.getByLabel("Stage", { exact: true }).selectOption("re-fired");
    await form.getByLabel("Value").fill("2.31");
    await form.getByLabel("Standard uncertainty").fill("0.02");
    await form.getByRole("button", { name: "Save the new result" }).click();
    await page.getByRole("cell", { name: "2.31 g/cm³" }).waitFor();
    await page.getByRole("cell", { name: "0.0200 g/cm³" }).waitFor();
    await page.getByRole("button", { name: "Edit tap density" }).click();
    const mend = page.getByRole("form", { name: "Edit tap density" });
    await mend.getByLabel("Value").fill("2.33");
    await mend.getByRole("button", { name: "Save the result" }).click();
    await page.getByRole("cell", { name: "2.33 g/cm³" }).waitFor();
    await page.getByRole("button", { name: /^Undo: changed tap density/ }).click();
    await page.getByRole("cell", { name: "2.31 g/cm³" }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("settings of a stage are kept with their units and a note", async () => {
    const { page, faults } = await open("#/lot?lot=1");
    await goBelow(page);
    await page.getByRole("button", { name: "Edit settings of fired" }).click();
    const form = page.getByRole("form", { name: "Settings of fired" });
    await form.getByRole("button", { name: "Add a setting" }).click();
    await form.getByLabel("Setting", { exact: true }).fill("temperature");
    await form.getByLabel("Value").fill("1550");
    await form.getByLabel("Note on the stage").fill("new furnace");
    await form.getByRole("button", { name: "Save the settings of fired" }).click();
    await page.getByText("fired: temperature 1550 °C; new furnace").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a photograph is added, seen, there after a reload, deleted, and brought back", async () => {
    const { page, faults } = await open("#/lot?lot=1");
    await goBelow(page);
    const picture = page.getByRole("img", { name: "grains.png, milled" });
    const isDrawn = () => picture.evaluate((img) => img instanceof HTMLImageElement && img.naturalWidth > 0);
    await page.getByLabel("Stage photographed").selectOption("milled");
    const file = { name: "grains.png", mimeType: "image/png", buffer: greyPoint };
    await page.getByLabel(/^Add photographs/).setInputFiles(file);
    await picture.scrollIntoViewIfNeeded();
    await expect.poll(isDrawn, { timeout: 30_000 }).toBe(true);
    await page.reload();
    await goBelow(page);
    await picture.scrollIntoViewIfNeeded();
    await expect.poll(isDrawn, { timeout: 30_000 }).toBe(true);
    const remove = page.getByRole("button", { name: "Delete the photograph grains.png" });
    await remove.click();
    await remove.click();
    await picture.waitFor({ state: "detached" });
    await page.getByRole("button", { name: /^Undo: deleted photograph "grains.png"/ }).click();
    await picture.scrollIntoViewIfNeeded();
    await expect.poll(isDrawn, { timeout: 30_000 }).toBe(true);
    await page.getByLabel(/^Add photographs/).setInputFiles({ ...file, buffer: Buffer.from("no picture") });
    await page
      .getByRole("alert")
      .getByText(/must be a PNG, JPEG or WebP picture/)
      .waitFor();
    // The refusal is what the server answered, and the browser notes that.
    expect(faults.filter((fault) => !fault.includes("422"))).toEqual([]);
    await page.close();
  });

  test("a stage is released; recalculated it is the same, and out of date once a run is excluded", async () => {
    const { page, faults } = await open("#/lot?lot=1");
    await goBelow(page);
    const form = page.getByRole("form", { name: "Release a stage" });
    await form.getByLabel("Name of the release record").fill("release");
    await form.getByRole("button", { name: "Release" }).click();
    const again = page.getByRole("button", { name: "Check against today: release" });
    await again.click();
    await page.getByText(/: the same\./).waitFor();
    const sheets = page.locator(".sheets iframe");
    expect(await sheets.count()).toBe(2);
    for (const title of ["Report as released: release", "Report of today: release"])
      await page
        .frameLocator(`iframe[title="${title}"]`)
        .getByRole("heading", { name: "Garnet host, lot 07, re-fired" })
        .waitFor();
    await page.getByText(/^Runs: /).click();
    await page.getByRole("button", { name: "Exclude run 2 of re-fired" }).click();
    await page.getByLabel("Reason").fill("bubble");
    await page.getByRole("button", { name: "Exclude run 2 of re-fired" }).click();
    await page.getByText("excluded: bubble").waitFor();
    await page.getByRole("button", { name: "Hide: release" }).click();
    await again.click();
    await page.getByText("Out of date: since then the runs changed: 6 then, 5 now.").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });
});

describe("copies from the dashboard", { timeout: 120_000 }, () => {
  test("a JSON copy is saved, brings back a deleted lot, and is itself undone", async () => {
    const { page, faults } = await open("#/change-history");
    const saving = page.waitForEvent("download");
    await page.getByRole("link", { name: "Current data as one JSON file" }).click();
    const path = join(folder, "copy.json");
    await (await saving).saveAs(path);
    expect(JSON.parse(readFileSync(path, "utf8")).lots.length).toBe(37);
    await page.goto(`${new URL(page.url()).origin}/#/lot?lot=3`);
    await goBelow(page);
    const button = "Delete Garnet host, lot 09 with its runs";
    await page.getByRole("button", { name: button }).click();
    await page.getByRole("button", { name: button }).click();
    await page.locator("h1 + .lead", { hasText: "36 lots saved." }).waitFor();
    await page.getByRole("link", { name: "Change history" }).click();
    const input = page.getByLabel(/^Import a backup/);
    await input.setInputFiles(path);
    await page.getByText("The file is imported. Undo restores the data from before.").waitFor();
    await input.setInputFiles(path);
    await page.getByText("Nothing changed: the file holds the current data.").waitFor();
    writeFileSync(join(folder, "bad.json"), "{}");
    await input.setInputFiles(join(folder, "bad.json"));
    await page.getByText(/This is no copy that Fineband saved/).waitFor();
    await page.getByRole("button", { name: "Undo: imported a backup" }).click();
    await page.getByText("Undone: imported a backup.").waitFor();
    await page.getByRole("button", { name: "Check all data" }).click();
    await page.getByText(/^No faults: \d+ changes/).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });
});
