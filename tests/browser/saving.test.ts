import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { goBelow } from "./browser.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;

beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

async function open(place: string): ReturnType<typeof served.open> {
  const opened = await served.open(place);
  opened.page.setDefaultTimeout(30_000);
  return opened;
}

describe("the lab's memory in a real browser", { timeout: 120_000 }, () => {
  test("a lot is kept with its material, found as one types, renamed, deleted with a reason, and comes back by the keys", async () => {
    const { page, faults } = await open("#/lots");
    const form = page.getByRole("form", { name: "Save the lot" });
    await form.getByLabel("Name", { exact: true }).fill("Lot Q");
    await form.getByLabel("Material", { exact: true }).fill("spinel");
    await form.getByLabel("Density of the solid").fill("3.6");
    await form.getByRole("button", { name: "Save the lot" }).click();
    await page.getByText(/spinel, 3.60?.g.cm³/).waitFor();

    await page.getByRole("link", { name: "Lots", exact: true }).click();
    await page.getByLabel(/^Find lots/).fill("spin");
    await page.locator("h1 + .lead", { hasText: "One lot shown." }).waitFor();
    await page.getByRole("link", { name: "Lot Q" }).click();
    await page.locator("h1", { hasText: "Lot Q has no measurements yet." }).waitFor();
    await goBelow(page);
    await page.getByLabel("Name", { exact: true }).fill("Lot R");
    await page.getByRole("button", { name: "Save the lot data" }).click();
    await page.locator("h1", { hasText: "Lot R has no measurements yet." }).waitFor();

    await page.getByRole("button", { name: "Delete Lot R with its runs" }).click();
    await page.getByLabel(/^Reason/).fill("a slip");
    await page.getByRole("button", { name: "Delete Lot R with its runs" }).click();
    await page.locator("h1 + .lead", { hasText: "37 lots saved." }).waitFor();

    await page.keyboard.press("Control+z");
    await page.getByText('Undone: deleted lot "Lot R".').waitFor();
    await page.locator("h1 + .lead", { hasText: "38 lots saved." }).waitFor();
    await page.keyboard.press("Control+Shift+Z");
    await page.getByText('Redone: deleted lot "Lot R".').waitFor();
    await page.locator("h1 + .lead", { hasText: "37 lots saved." }).waitFor();
    await page.getByRole("button", { name: /^Undo: deleted lot/ }).click();
    await page.locator("h1 + .lead", { hasText: "38 lots saved." }).waitFor();

    await page.getByRole("link", { name: "Change history" }).click();
    await page.getByRole("cell", { name: "a slip" }).waitFor();
    await page.getByRole("button", { name: 'Show what changed: renamed lot "Lot Q" to "Lot R"' }).click();
    await page.getByText("name from Lot Q to Lot R").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("the keys undo typing, not the lab's record, while one types", async () => {
    const { page } = await open("#/lots");
    // What is said of the lots is said once they are read.
    await page.locator("table.lots").waitFor();
    const before = await page.locator("h1").textContent();
    await page.getByLabel(/^Find lots/).fill("abc");
    await page.keyboard.press("Control+z");
    await page.waitForTimeout(300);
    expect(await page.locator("h1").textContent()).toBe(before);
    await page.close();
  });

  test("a run is excluded with a reason, no longer counts, and is included again", async () => {
    const { page, faults } = await open("#/lot?lot=1");
    await goBelow(page);
    await page.getByRole("button", { name: "Exclude run 1 of re-fired" }).click();
    const act = page.getByRole("button", { name: "Exclude run 1 of re-fired" });
    expect(await act.isDisabled()).toBe(true);
    await page.getByLabel("Reason").fill("bubble in the cell");
    await act.click();
    await page.getByText("excluded: bubble in the cell").waitFor();
    await page.locator("h1", { hasText: "five runs" }).waitFor();
    await page.getByRole("button", { name: "Include run 1 of re-fired again" }).click();
    await page.getByRole("button", { name: "Exclude run 1 of re-fired" }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a slip in a BET pair is mended, a pair deleted; a second band drawn gets a name of its own, and goes", async () => {
    const { page, faults } = await open("#/bands");
    await page.getByRole("button", { name: /^Edit milled pair/ }).click();
    const row = page.getByRole("row").filter({ has: page.getByRole("button", { name: "Save the pair" }) });
    await row.getByLabel("BET area").fill("0.88");
    await row.getByRole("button", { name: "Save the pair" }).click();
    await page.getByRole("cell", { name: "0.880", exact: true }).waitFor();
    await page.getByRole("button", { name: /^Delete milled pair/ }).click();
    await page.getByRole("button", { name: /^Delete milled pair/ }).click();
    await page.getByText("4 pairs of geometric").waitFor();
    for (const name of ["Reference powder band", "Reference powder band (2)"]) {
      await page.getByRole("button", { name: "Make a band from it" }).click();
      await page.getByRole("heading", { name: `${name}, for re-fired` }).waitFor();
    }
    await page.getByRole("button", { name: "Delete the band Reference powder band (2)" }).click();
    await page.getByRole("button", { name: "Delete the band Reference powder band (2)" }).click();
    await page.locator("h1", { hasText: "Three target bands are saved." }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a trial is edited, and a deleted mill comes back with its trials", async () => {
    const { page, faults } = await open("#/equipment");
    await page.locator("h1", { hasText: "eight trials" }).waitFor();
    const d50 = page
      .getByRole("grid", { name: "Trials" })
      .getByRole("gridcell", { name: /^D50 of trial 1:/ });
    await d50.click();
    await page.keyboard.type("5");
    await page.keyboard.press("Enter");
    await page.getByRole("button", { name: /^Undo: changed trial/ }).click();
    await page.getByRole("gridcell", { name: "D50 of trial 1: 4.959" }).waitFor();
    const name = "Delete the mill Pilot jet mill with its trials";
    await page.getByRole("button", { name }).click();
    await page.getByRole("button", { name }).click();
    await page.locator("h1", { hasText: /^Small jet mill: / }).waitFor();
    await page.keyboard.press("Control+z");
    await page.locator("h1", { hasText: /^Pilot jet mill: .*eight trials/ }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("two people on one lot: the second sees both versions side by side and loses nothing", async () => {
    const [a, b] = [await open("#/lot?lot=2"), await open("#/lot?lot=2")];
    for (const { page } of [a, b]) await goBelow(page);
    await a.page.getByLabel("Note", { exact: true }).fill("hers");
    await b.page.getByLabel("Note", { exact: true }).fill("his");
    await a.page.getByRole("button", { name: "Save the lot data" }).click();
    await a.page.locator(".strip-of-lot").getByText("hers").waitFor();
    await b.page.getByRole("button", { name: "Save the lot data" }).click();
    await b.page.getByRole("heading", { name: /changed by someone else/ }).waitFor();
    const versions = b.page.locator('section[aria-labelledby="clash"]');
    expect(await versions.getByRole("row").filter({ hasText: "note" }).textContent()).toBe("notehishers");
    expect(await b.page.getByLabel("Note", { exact: true }).inputValue()).toBe("his");
    await b.page.getByRole("button", { name: "Save mine" }).click();
    await b.page.locator(".strip-of-lot").getByText("his").waitFor();
    expect([...a.faults, ...b.faults]).toEqual([]);
    await a.page.close();
    await b.page.close();
  });
});
