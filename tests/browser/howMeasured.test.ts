import { afterAll, beforeAll, expect, test } from "vitest";
import { goBelow } from "./browser.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;

beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

const table = "Dispersant: water\nlower um,upper um,a volume %,b volume %\n1,2,20,30\n2,4,60,60\n4,8,20,10\n";

test("how it was measured is taken, edited before it is saved, shown with the lot, saved for all runs and undone", {
  timeout: 120_000,
}, async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  await page.getByRole("button", { name: "Import a table" }).click();
  await page.getByLabel("Table", { exact: true }).fill(table);
  await page.getByText(/Taken from the lines around the table.*dispersant water/).waitFor();
  await page
    .getByText(/^How it was measured: Dispersant water\. Not stated: technique, optical model/)
    .click();
  await page.getByLabel("technique").fill("laser diffraction");
  await page.getByLabel("refractive index").fill("1.83");
  await page.getByLabel("obscuration").fill("120");
  await page.getByText("Not over 100.").waitFor();
  await page.getByLabel("obscuration").fill("12");
  await page.getByLabel("as", { exact: true }).selectOption("crushed");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByText("Preview of").waitFor({ state: "detached" });
  await goBelow(page);
  const summary = page.locator("[data-edit]", { hasText: /^crushed: .*laser diffraction/ });
  await summary.waitFor();
  const text = await summary.textContent();
  expect(text).toMatch(/refractive index 1\.83 or not stated|refractive index not stated or 1\.83/);
  await page.getByRole("button", { name: "Edit how crushed was measured" }).click();
  const form = page.getByRole("form", { name: "How crushed was measured" });
  await form.getByLabel("instrument").fill("cell 2");
  await form.getByRole("button", { name: /^Save for the \d+ runs of crushed/ }).click();
  await page.locator("[data-edit]", { hasText: /^crushed: .*instrument cell 2[.;]/ }).waitFor();
  await page.getByRole("button", { name: /^Undo: noted how \d+ runs were measured/ }).click();
  await page
    .locator("[data-edit]", { hasText: /^crushed: .*instrument cell 2[.;]/ })
    .waitFor({ state: "detached" });
  expect(faults).toEqual([]);
  await page.close();
});
