import { afterAll, beforeAll, expect, test } from "vitest";
import { violations } from "./axe.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served.stop());

test("a bare address opens the demo with its first lot, which is in band, and then where one left", async () => {
  const { page, faults } = await served.open("");
  const address = page.url();
  const chosen = () => page.getByLabel("Lot", { exact: true }).evaluate((e: HTMLSelectElement) => e.value);
  await page.locator('h1[data-verdict="in band"]').waitFor();
  expect(await chosen()).toBe("1");
  await page.goto(`${address}#/lot?lot=2&stage=milled`);
  await page.getByText(/^This is milled powder/).waitFor();
  // Another path, so that the page is loaded anew.
  await page.goto(`${address}?fresh`);
  await page.getByText(/^This is milled powder/).waitFor();
  expect(await chosen()).toBe("2");
  expect(faults).toEqual([]);
  await page.close();
});

test("the own lab is started from the demo, stays apart from it, and each leads to the other", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  expect(await violations(page)).toEqual([]);
  await page.getByText("This is the demo: everything in it is invented").waitFor();
  await page.getByRole("button", { name: "Start my own lab" }).click();
  await page.getByRole("heading", { name: "No lot is saved yet." }).waitFor();
  expect(await page.getByText("This is the demo").count()).toBe(0);
  // What was looked at last in the demo has the number of a lot that this lab does not have.
  await page.getByRole("link", { name: "The demo" }).click();
  await page.getByRole("link", { name: "Go to my own lab" }).waitFor();
  expect(new URL(page.url()).pathname).toBe("/demo/");
  expect(await page.getByLabel("Lot", { exact: true }).inputValue()).toBe("1");
  await page.locator('h1[data-verdict="in band"]').waitFor();
  await page.getByRole("link", { name: "Go to my own lab" }).click();
  await page.getByRole("heading", { name: "No lot is saved yet." }).waitFor();
  await page.keyboard.press("Control+k");
  await page.keyboard.type("demo");
  await page.getByRole("option", { name: "The demo" }).waitFor();
  expect(faults).toEqual([]);
  await page.close();
});

test("a bare address opens the own lab with its newest lot", async () => {
  const { page, faults } = await served.open("");
  const origin = new URL(page.url()).origin;
  await page.request.post(`${origin}/api/lab/start`);
  for (const name of ["first", "second"])
    await page.request.post(`${origin}/api/lots`, {
      data: { name, material: "glass", densityGPerCm3: 2.5, bandId: null, note: "" },
    });
  await page.reload();
  await expect
    .poll(() =>
      page.getByLabel("Lot", { exact: true }).evaluate((e: HTMLSelectElement) => e.selectedOptions[0]?.text),
    )
    .toContain("second");
  expect(faults).toEqual([]);
  await page.close();
});
