import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("Print the report, by keyboard, opens the sheet of the stage that is looked at", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  const button = page.getByRole("button", { name: "Print the report" });
  await button.focus();
  const opened = page.context().waitForEvent("page");
  await page.keyboard.press("Enter");
  const sheet = await opened;
  await sheet.getByRole("heading", { name: "Garnet host, lot 07, re-fired" }).waitFor();
  expect(await sheet.locator(".verdict").textContent()).toMatch(/^In band, six runs/);
  expect(await sheet.locator("main > svg polyline").count()).toBe(4);
  expect(faults).toEqual([]);
  await page.close();
});

test.each([
  ["grade", "A4"],
  ["full", "A4"],
  ["full", "Letter"],
  ["customer", "A4"],
  ["customer", "Letter"],
])("the %s report of the demo lot is one page of %s", async (report, format) => {
  const { page } = await served.open("#/lot?lot=1");
  await page.goto(new URL(`api/lots/1/sheet?report=${report}`, page.url()).href);
  const pdf = await page.pdf({ format });
  expect((pdf.toString("latin1").match(/\/Type \/Page\b/g) ?? []).length).toBe(1);
  await page.close();
});
