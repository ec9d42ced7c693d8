import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { serve } from "./served.ts";

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

describe("the lot card in a real browser", { timeout: 120_000 }, () => {
  test("a result is noted with unit and uncertainty, mended, and undone", async () => {
    const { page, faults } = await open("#/card?lot=1");
    const form = page.getByRole("form", { name: "A new result" });
    await form.getByLabel("Result", { exact: true }).fill("tap density");
    expect(await form.getByLabel("Unit").inputValue()).toBe("g/cm³");
    await form.getByLabel("Of", { exact: true }).selectOption("re-fired");
    await form.getByLabel("Value").fill("2.31");
    await form.getByLabel("Standard uncertainty").fill("0.02");
    await form.getByRole("button", { name: "Note the result" }).click();
    await page.getByRole("cell", { name: "2.31 g/cm³" }).waitFor();
    await page.getByRole("cell", { name: "0.0200 g/cm³" }).waitFor();
    await page.getByRole("button", { name: "Mend tap density" }).click();
    const mend = page.getByRole("form", { name: "Mend tap density" });
    await mend.getByLabel("Value").fill("2.33");
    await mend.getByRole("button", { name: "Keep the result as mended" }).click();
    await page.getByRole("cell", { name: "2.33 g/cm³" }).waitFor();
    await page.getByRole("button", { name: /^Undo: changed tap density/ }).click();
    await page.getByRole("cell", { name: "2.31 g/cm³" }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("settings of a stage are kept with their units and a note", async () => {
    const { page, faults } = await open("#/card?lot=1");
    await page
      .locator("details", { has: page.getByRole("form", { name: "Settings of fired", includeHidden: true }) })
      .locator("summary")
      .click();
    const form = page.getByRole("form", { name: "Settings of fired" });
    await form.getByRole("button", { name: "Add a setting" }).click();
    await form.getByLabel("Setting", { exact: true }).fill("temperature");
    await form.getByLabel("Value").fill("1550");
    await form.getByLabel("Note on the stage").fill("new furnace");
    await form.getByRole("button", { name: "Keep the settings of fired" }).click();
    await page.getByText("fired: temperature 1550 °C; new furnace").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("an answer is frozen; computed again it is the same, and stale once a run is set aside", async () => {
    const { page, faults } = await open("#/card?lot=1");
    const form = page.getByRole("form", { name: "Freeze an answer" });
    await form.getByLabel("under the name").fill("release");
    await form.getByRole("button", { name: "Freeze" }).click();
    const again = page.getByRole("button", { name: "Compute again: release" });
    await again.click();
    await page.getByText(/: the same\./).waitFor();
    const sheets = page.locator(".sheets iframe");
    expect(await sheets.count()).toBe(2);
    for (const title of ["Sheet as frozen: release", "Sheet of today: release"])
      await page
        .frameLocator(`iframe[title="${title}"]`)
        .getByRole("heading", { name: "Garnet host, lot 07, re-fired" })
        .waitFor();
    await page.getByText(/^Runs: /).click();
    await page.getByRole("button", { name: "Set aside run 2 of re-fired" }).click();
    await page.getByLabel("Why").fill("bubble");
    await page.getByRole("button", { name: "Set aside run 2 of re-fired" }).click();
    await page.getByText("set aside: bubble").waitFor();
    await page.getByRole("button", { name: "Hide: release" }).click();
    await again.click();
    await page.getByText("Stale: since then the runs changed: 6 then, 5 now.").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });
});

describe("copies from the dashboard", { timeout: 120_000 }, () => {
  test("a JSON copy is saved, brings back a deleted lot, and is itself undone", async () => {
    const { page, faults } = await open("#/trail");
    const saving = page.waitForEvent("download");
    await page.getByRole("link", { name: "What stands, as one JSON" }).click();
    const path = join(folder, "copy.json");
    await (await saving).saveAs(path);
    expect(JSON.parse(readFileSync(path, "utf8")).lots.length).toBe(7);
    await page.goto(`${new URL(page.url()).origin}/#/card?lot=3`);
    const button = "Delete Garnet host, lot 09 with its runs";
    await page.getByRole("button", { name: button }).click();
    await page.getByRole("button", { name: button }).click();
    await page.locator("h1", { hasText: "6 lots are kept." }).waitFor();
    await page.getByRole("link", { name: "Trail" }).click();
    const input = page.getByLabel(/^Bring back a backup/);
    await input.setInputFiles(path);
    await page.getByText("The copy is back. Undo takes it back again.").waitFor();
    await input.setInputFiles(path);
    await page.getByText("Nothing changed: what stands is what the copy holds.").waitFor();
    writeFileSync(join(folder, "bad.json"), "{}");
    await input.setInputFiles(join(folder, "bad.json"));
    await page.getByText(/This is no copy that Fineband saved/).waitFor();
    await page.getByRole("button", { name: "Undo: brought a copy back" }).click();
    await page.getByText("Undone: brought a copy back.").waitFor();
    await page.getByRole("button", { name: "Go through everything" }).click();
    await page.getByText(/^Sound: \d+ events/).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });
});
