import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { violations } from "./axe.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

/** Keeps lots of the demo's material whose every size grows with the temperature of firing. */
async function keepLots(page: Page, count: number): Promise<void> {
  const at = (path: string) => new URL(path, page.url()).href;
  const { material } = (await (await page.request.get(at("/api/lots/1"))).json()).lot;
  for (let i = 0; i < count; i++) {
    const made = await page.request.post(at("/api/lots"), {
      data: { name: `Trial lot ${i}`, material, densityGPerCm3: 4.55 },
    });
    const { lot } = await made.json();
    const factor = 1 + 0.01 * i;
    const shares = [2, 8, 20, 30 + (i % 3), 25 - (i % 3), 12, 3];
    const rows = shares.map(
      (s, k) =>
        `${(0.5 * 1.6 ** k * factor).toPrecision(5)},${(0.5 * 1.6 ** (k + 1) * factor).toPrecision(5)},${s}`,
    );
    const text = ["lower_um,upper_um,share % by volume", ...rows].join("\n");
    await page.request.post(at(`/api/lots/${lot.id}/measurements`), { data: { stage: "re-fired", text } });
    await page.request.put(at(`/api/lots/${lot.id}/stages/fired`), {
      data: { settings: [{ name: "temperature", value: String(1500 + 10 * i), unit: "°C" }] },
    });
    await page.request.post(at(`/api/lots/${lot.id}/results`), {
      data: { stage: "re-fired", name: "crystallite size", value: 60 + 2 * i, unit: "nm" },
    });
  }
}

describe("the process page in a real browser", { timeout: 120_000 }, () => {
  test("without settings it says what would fill it; with seven lots that have them, what goes with what", async () => {
    const { page, faults } = await served.open("#/process");
    page.setDefaultTimeout(30_000);
    await page.getByText(/No lot has a setting recorded as a number yet\. Add one to the table\./).waitFor();
    await page
      .getByText(/Drift of D50 is not judged yet: limits need eight lots, and there are six lots/)
      .first()
      .waitFor();
    await keepLots(page, 7);
    await page.reload();
    // The demo's own lots have their sizes after every step.
    const chain = page.locator("[data-chain]");
    await page.locator("#all-steps-near").scrollIntoViewIfNeeded();
    await chain
      .getByText(/D50 after re-firing is expected at .*(Most of the|The) doubt comes from/)
      .waitFor();
    // Lots that were fired hotter one after the other: the order in time is a rival.
    await page
      .getByText(
        /^D50 rises with firing temperature by .*seven lots\), but the order in which the lots were made moved along/,
      )
      .first()
      .waitFor();
    await page.getByLabel("Result", { exact: true }).selectOption("crystallite size");
    await page
      .getByText(/^Crystallite size rises with firing temperature/)
      .first()
      .waitFor();
    await page
      .locator('[data-effect="Other results"]', { hasText: /Crystallite size .* geometric area/i })
      .waitFor();
    await page.getByRole("button", { name: "Drift" }).click();
    await page
      .getByText(/Drift of crystallite size is not judged yet/)
      .first()
      .waitFor();
    await page.getByLabel("Stage", { exact: true }).selectOption("crushed");
    await page
      .getByText(/Drift of D50 is not judged yet: limits need eight lots, and there are three lots/)
      .first()
      .waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("the table and its finding stand in one frame; settings are edited in place and undone", async () => {
    const { page, faults } = await served.open("#/process", 1440);
    page.setDefaultTimeout(30_000);
    const table = page.getByRole("grid", { name: "Lots, settings and results" });
    await table.waitFor();
    const bottom = await page.evaluate(
      () => document.querySelector(".process-frame")?.getBoundingClientRect().bottom,
    );
    expect(bottom).toBeLessThanOrEqual(900);
    await page.getByLabel("New setting").fill("excess");
    await page.getByRole("button", { name: "Add the column" }).click();
    const column = await table.getByRole("columnheader").allTextContents();
    const at = column.findIndex((heading) => heading.startsWith("firing excess"));
    const cell = (row: number) => table.locator(`[data-r="${row}"][data-c="${at}"]`);
    await cell(0).click();
    await page.keyboard.type("2,5");
    await page.keyboard.press("Enter");
    await expect.poll(() => cell(0).textContent()).toBe("2.5");
    await page.keyboard.press("Control+d");
    await expect.poll(() => cell(1).textContent()).toBe("2.5");
    const card = async () => (await page.request.get(new URL("api/lots/2/card", page.url()).href)).json();
    await expect.poll(async () => JSON.stringify((await card()).stages)).toContain("excess");
    await page.keyboard.press("Control+z");
    await expect.poll(() => cell(1).textContent()).toBe("");
    await page.keyboard.type("two");
    await page.keyboard.press("Enter");
    expect(await cell(1).getAttribute("aria-invalid")).toBe("true");
    await page.getByText(/is “two”; expected a number in %/).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("the next lot keeps to the limits that are given", async () => {
    const { page } = await served.open("#/process");
    page.setDefaultTimeout(30_000);
    await page.getByText(/^The next lot that would tell most: .*firing temperature/).waitFor();
    await page.getByLabel("firing temperature, from").fill("1600");
    await page.getByLabel("firing temperature, to").fill("1600");
    await page
      .getByText(/would tell most: .*firing temperature 1600\s°C.*outside what the lots have tried/)
      .waitFor();
    await page.getByText(/the furnace's manual and your engineer come before every number here/).waitFor();
    await page.close();
  });

  test("axe finds nothing serious at 320 px, light and dark, and nothing runs off the side", async () => {
    for (const scheme of ["light", "dark"] as const) {
      const { page } = await served.open("#/process", 320, scheme);
      await page.locator("[data-effect]").first().waitFor();
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);
      expect(await violations(page)).toEqual([]);
      await page.close();
    }
  });
});
