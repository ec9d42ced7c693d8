import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("without the server what is on the page goes on, what waits is said, and nothing typed is lost", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  await page.locator('h1[data-verdict="in band"]').waitFor();
  await page.getByRole("link", { name: "Wheel plan", exact: true }).click();
  const slider = page.getByRole("slider", { name: "Wheel speed" });
  await slider.waitFor();
  await page.waitForLoadState("networkidle");
  await page.getByRole("link", { name: "Equipment", exact: true }).click();
  const trial3 = page.getByRole("gridcell", { name: /^D50 of trial 3:/ });
  await trial3.click();
  await page.getByRole("button", { name: "Exclude trial 3" }).waitFor();
  await page.getByRole("link", { name: "Wheel plan", exact: true }).click();
  await slider.waitFor();
  await page.context().setOffline(true);

  // The plan is computed here.
  const before = await page.locator("h1").textContent();
  await slider.focus();
  for (let i = 0; i < 20; i++) await page.keyboard.press("ArrowRight");
  await page.waitForFunction((was) => document.querySelector("h1")?.textContent !== was, before);
  await page.getByLabel("Gas flow at the wheel").first().fill("150");
  await page.getByRole("img", { name: /Highest chance of being in band/ }).waitFor();

  // A change needs the server: it says so, and keeps what was typed.
  await page.getByRole("link", { name: "Equipment", exact: true }).click();
  await trial3.click();
  await page.getByRole("button", { name: "Exclude trial 3" }).click();
  const why = page.getByLabel("Reason", { exact: true });
  await why.fill("the sieve was torn");
  await page.getByRole("button", { name: "Exclude trial 3" }).click();
  await page.getByText("check whether the change was saved before repeating it").waitFor();
  expect(await why.inputValue()).toBe("the sieve was torn");

  // So does a place whose code was never fetched; those seen before are there.
  await page.getByRole("link", { name: "Lot", exact: true }).click();
  await page.locator('h1[data-verdict="in band"]').waitFor();
  await page.getByRole("link", { name: "Change history" }).click();
  await page.getByText("Could not load the change history: the server does not answer").waitFor();

  await page.context().setOffline(false);
  await page.getByRole("main").getByRole("button", { name: "Try again" }).last().click();
  await page.locator("h1", { hasText: /^(Last change: |Nothing to undo yet)/ }).waitFor();
  expect(faults).toEqual([]);
  await page.close();
}, 90_000);
