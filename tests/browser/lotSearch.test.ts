import { afterAll, beforeAll, expect, test } from "vitest";
import { goBelow } from "./browser.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("any of 400 lots is reached from the lot choice by typing, and what is saved says how long ago", {
  timeout: 180_000,
}, async () => {
  const { page, faults } = await served.open("#/lots");
  page.setDefaultTimeout(60_000);
  expect(await page.getByRole("timer").textContent()).toBe("");
  await page.evaluate(async () => {
    const copy = await (await fetch("api/copy")).json();
    for (let id = 101; id <= 500; id++)
      copy.lots.push({
        ...copy.lots[0],
        id,
        name: id % 2 === 0 ? `Lot ${id}` : "Twin",
        note: `campaign ${id}`,
      });
    copy.lots.sort((a: { id: number }, b: { id: number }) => a.id - b.id);
    await fetch("api/copy", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(copy),
    });
  });
  await page.goto(`${new URL(page.url()).origin}/?fresh#/lot?lot=1`);
  const field = page.getByRole("combobox", { name: "Lot", exact: true });
  await field.fill("campaign 500");
  await page.getByText("One lot found; Enter selects it.").waitFor();
  await field.press("Enter");
  await page.locator("h1", { hasText: "Lot 500 has no measurements yet." }).waitFor();
  expect(page.url()).toContain("lot=500");
  await field.fill("twin");
  await page.getByText(/200 lots found; the first 20 are listed/).waitFor();
  await expect
    .poll(() => page.locator("datalist option").first().getAttribute("value"))
    .toBe("Twin (lot no. 101)");
  await field.fill("Twin (lot no. 105)");
  await expect.poll(() => page.url()).toContain("lot=105");

  await page.goto(`${new URL(page.url()).origin}/?fresh#/lot?lot=500`);
  await page.locator("h1").waitFor();
  await goBelow(page);
  await page.getByLabel("Note", { exact: true }).fill("seen");
  await page.getByRole("button", { name: "Save the lot data" }).click();
  const saved = page.getByRole("timer");
  await expect.poll(() => saved.textContent(), { timeout: 30_000 }).toMatch(/^saved (just now|\d s ago)$/);
  const before = await saved.textContent();
  await expect.poll(() => saved.textContent(), { timeout: 10_000 }).not.toBe(before);
  expect(await saved.getAttribute("aria-live")).toBe("off");
  expect(faults).toEqual([]);
  await page.close();
});
