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

describe("history in a real browser", { timeout: 120_000 }, () => {
  test("three lots have no limits, six no effects; with seven more there are both", async () => {
    const { page, faults } = await served.open("#/process");
    page.setDefaultTimeout(30_000);
    await page.getByText(/too few to call D50 steady/).waitFor();
    await page.getByText("No lot has a setting recorded as a number yet.").waitFor();
    await keepLots(page, 7);
    await page.reload();
    await page.getByText(/D50 is (not )?steady/).waitFor();
    await page.getByText(/^D50 rises with temperature of fired: .*seven lots/).waitFor();
    await page.getByLabel("Result charted").selectOption("crystallite size");
    await page.getByText(/Crystallite size is (not )?steady|to call crystallite size steady/).waitFor();
    await page
      .locator('[data-effect="Other results"]', { hasText: /Crystallite size .* geometric area/i })
      .waitFor();
    await page.getByLabel("Stage", { exact: true }).selectOption("crushed");
    await page
      .getByText("D50 has no control limits yet: they need five lots, and there are three lots.")
      .waitFor();
    expect(faults).toEqual([]);
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
