import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("numbers take the marks that a person chooses, in sentences, fields and tables, until English ones are chosen again", async () => {
  const { page, faults } = await served.open("#/lot?lot=3");
  await page.locator('h1[data-verdict="out of band"]').waitFor();
  expect(await page.locator("h1").textContent()).toContain("D90\u00a07.64\u00a0µm");
  const choose = (example: string) =>
    Promise.all([page.waitForEvent("load"), page.getByLabel("Numbers as").selectOption({ label: example })]);
  await choose("1.234,5");
  await page.locator("h1", { hasText: "D90\u00a07,64\u00a0µm" }).waitFor();
  await page.locator(".limits", { hasText: "0,439\u00a0m²/g" }).waitFor();
  await page.getByRole("link", { name: "Wheel plan", exact: true }).click();
  await page.locator("h1", { hasText: "6.280" }).waitFor();
  const target = page.getByLabel("Target D50, re-fired");
  await target.fill("3,3");
  await page.locator(".lead", { hasText: "for D50\u00a03,30\u00a0µm" }).waitFor();
  await target.press("Tab");
  expect(await target.inputValue()).toBe("3,3");
  await page.getByRole("link", { name: "Process" }).click();
  await page.getByRole("gridcell", { name: "D50 of Garnet host, lot 07: 3,41" }).waitFor();
  await choose("1,234.5");
  await page.getByRole("gridcell", { name: "D50 of Garnet host, lot 07: 3.41" }).waitFor();
  expect(faults).toEqual([]);
  await page.close();
});
