import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { serve } from "./served.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
let served: Awaited<ReturnType<typeof serve>>;

beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

/** The chart's own pixels, to tell whether it was drawn anew. */
const picture = (page: Page) =>
  page
    .locator("canvas")
    .first()
    .evaluate((c) => (c instanceof HTMLCanvasElement ? c.toDataURL() : ""));

describe("the main job in a real browser", () => {
  test("the page opens on the demo lot, in its band, with the overlay drawn", async () => {
    const { page, faults } = await served.open("#/lot?lot=1");
    expect(await page.locator("h1").textContent()).toMatch(/^In band, six runs\. D50/);
    expect(await page.locator("canvas").count()).toBeGreaterThan(0);
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a pasted table asks what it does not say, then a verdict appears, and it is saved", async () => {
    const { page, faults } = await served.open("#/lot?lot=1");
    const table = readFileSync(join(root, "distributions/samples/lots/garnet-09/re-fired.csv"), "utf8")
      .split("\n")
      .slice(1)
      .join("\n");
    await page.getByRole("button", { name: "Import a table" }).click();
    await page.getByLabel("Table", { exact: true }).fill(table);
    await page.getByRole("button", { name: /^volume/ }).click();
    await page.locator('h1[data-verdict="out of band"]').waitFor();
    expect(await page.locator("h1").textContent()).toMatch(/D90/);
    await page.getByRole("button", { name: "Save", exact: true }).click();
    await page.getByText(/· 12.runs$/).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a bad table is refused in words, and nothing is drawn from it", async () => {
    const { page } = await served.open("#/lot?lot=1");
    await page.getByRole("button", { name: "Import a table" }).click();
    await page.getByLabel("Table", { exact: true }).fill("lower_um,upper_um,volume %\n1,2,43\n2,4,50\n");
    await page.getByText("7 % of the whole is missing").waitFor();
    expect(await page.locator("h1").textContent()).toMatch(/^In band|^On the edge|^Out of band/);
    await page.close();
  });

  test("the slider moves the predicted curve and its sentence, and stops at the rated speed", async () => {
    const { page, faults } = await served.open("#/wheel-plan");
    const before = { words: await page.locator("h1").textContent(), picture: await picture(page) };
    const slider = page.getByRole("slider", { name: "Wheel speed" });
    await slider.focus();
    for (let i = 0; i < 20; i++) await page.keyboard.press("ArrowRight");
    await page.waitForTimeout(100);
    expect(await page.locator("h1").textContent()).not.toBe(before.words);
    expect(await picture(page)).not.toBe(before.picture);
    await page.keyboard.press("End");
    expect(await slider.inputValue()).toBe("9000");
    await page.getByText("Before you change the speed").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("arrow keys read values out of the overlay", async () => {
    const { page } = await served.open("#/lot?lot=1");
    await page.getByRole("img").first().focus();
    // What takes the key may still be on its way: the key is not lost.
    await page.keyboard.press("ArrowRight");
    await expect.poll(() => page.locator("figcaption").first().textContent()).toMatch(/µm · .*re-fired/);
    await page.close();
  });
});
