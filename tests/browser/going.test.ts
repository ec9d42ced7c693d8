import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("Ctrl and K goes to any place or lot by its name, without the mouse", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  await page.locator("h1").waitFor();
  await page.evaluate(() => scrollTo(0, 1200));
  await page.keyboard.press("Control+k");
  const field = page.getByRole("combobox", { name: /^Go to a place/ });
  await field.fill("wheel");
  await page.keyboard.press("Enter");
  await page.getByRole("slider", { name: "Wheel speed" }).waitFor();
  expect(page.url()).toMatch(/#\/wheel-plan/);
  // Another page opens at its finding.
  expect(await page.evaluate(() => scrollY)).toBe(0);

  await page.keyboard.press("Control+k");
  await field.fill("lot 09");
  await page.getByRole("option", { name: "Garnet host, lot 09" }).waitFor();
  await page.keyboard.press("Enter");
  await page.locator('h1[data-verdict="out of band"]').waitFor();

  await page.keyboard.press("Control+k");
  await field.fill("08 mill");
  await page.getByRole("option", { name: "Garnet host, lot 08, milled" }).waitFor();
  await page.keyboard.press("Enter");
  await page
    .getByRole("heading", { level: 1 })
    .filter({ hasText: /milled/ })
    .waitFor();

  await page.keyboard.press("Control+k");
  await field.fill("calibration");
  await page.getByRole("option", { name: "Bands" }).waitFor();
  await page.keyboard.press("Enter");
  await page.waitForURL(/#\/bands/);
  await page.keyboard.press("Control+k");
  await field.fill("mill");
  const dialog = page.getByRole("dialog");
  await dialog
    .getByRole("option")
    .first()
    .filter({ hasText: /, milled$/ })
    .waitFor();
  await dialog.getByRole("option", { name: "Wheel plan" }).waitFor();
  await page.keyboard.press("Escape");

  await page.getByRole("button", { name: "Go to …" }).click();
  await field.fill("nothing is called this");
  expect(await page.getByRole("dialog").getByRole("status").textContent()).toMatch(/^Nothing found/);
  await page.keyboard.press("Escape");
  expect(await page.getByRole("dialog").count()).toBe(0);
  expect(faults).toEqual([]);
  await page.close();
});

// The weights asked for are of what travels, gzipped. The first view's own is held in tests/ui/weight.test.ts.
test("each place weighs under 120 kB with all it shows", async () => {
  for (const place of [
    "",
    "#/wheel-plan",
    "#/compare",
    "#/bands",
    "#/process",
    "#/equipment",
    "#/lots",
    "#/change-history",
  ]) {
    const { page } = await served.open(place);
    await page.waitForLoadState("networkidle");
    const weight = await page.evaluate(() =>
      [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
        .filter((e) => e instanceof PerformanceResourceTiming)
        .filter((e) => e.entryType === "navigation" || /\.(js|css)$/.test(e.name))
        .reduce((sum, e) => sum + e.encodedBodySize, 0),
    );
    console.log(`${place || "lot"}: ${weight} bytes`);
    expect(weight, place).toBeGreaterThan(30_000);
    expect(weight, place).toBeLessThan(120_000);
    await page.close();
  }
}, 120_000);
