import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { violations } from "./axe.ts";
import { serve } from "./served.ts";
import { answerSlowly, takenBack } from "./slowly.ts";

/** Every place, and what opens over one. */
const places: readonly {
  readonly name: string;
  readonly at: string;
  readonly open?: (page: Page) => Promise<void>;
}[] = [
  { name: "lot", at: "" },
  { name: "lot that is out of band", at: "#/lot?lot=3" },
  { name: "lot at a stage the band is not for", at: "#/lot?lot=1&stage=milled" },
  { name: "lots", at: "#/lots" },
  { name: "compare", at: "#/compare" },
  { name: "many lots", at: "#/compare?stage=re-fired" },
  { name: "wheel plan", at: "#/wheel-plan" },
  { name: "bands", at: "#/bands" },
  { name: "process", at: "#/process" },
  { name: "equipment", at: "#/equipment" },
  { name: "change history", at: "#/change-history" },
  {
    name: "import",
    at: "",
    open: async (page) => {
      await page.getByRole("button", { name: "Import a table" }).click();
      await page.getByLabel("Table", { exact: true }).fill("lower_um,upper_um,volume %\n1,2,43\n2,4,50\n");
      await page.getByText("7 % of the whole is missing").waitFor();
    },
  },
  {
    name: "going anywhere",
    at: "",
    open: async (page) => {
      await page.keyboard.press("Control+k");
      await page.getByRole("dialog").getByRole("option").first().waitFor();
    },
  },
];

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

/** Up to 0.1 counts as good (Core Web Vitals, from memory); a line that wraps otherwise in another font is some 0.02. */
const stillEnough = 0.05;

/** Parts of a page that come later have come, and what they push has been pushed. */
async function settled(page: Page): Promise<void> {
  await page.waitForLoadState("networkidle");
  await page.waitForTimeout(300);
}

describe.each(places)("$name", ({ name, at, open }) => {
  test("axe finds nothing, light and dark; one heading says the answer; nothing moves, is taken back or runs off the side", async () => {
    const { page, faults } = await served.open(at, 1200, "light", (one) => answerSlowly(one, name.length));
    await settled(page);
    expect(await takenBack(page)).toEqual([]);
    expect(await page.evaluate(shifted)).toBeLessThan(stillEnough);
    // What waits below until one comes to it comes too.
    await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
    await settled(page);
    await page.evaluate(() => scrollTo(0, 0));
    await open?.(page);
    await page.emulateMedia({ colorScheme: "light", reducedMotion: "reduce" });
    expect(await violations(page)).toEqual([]);
    expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
    expect(await page.locator("h1").allTextContents()).toEqual([expect.stringMatching(/\S/)]);
    await page.emulateMedia({ colorScheme: "dark" });
    await page.setViewportSize({ width: 320, height: 900 });
    // What now has to be scrolled can be reached by keyboard a frame later.
    await settled(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);
    expect(await violations(page)).toEqual([]);
    expect(faults).toEqual([]);
    await page.close();
  }, 90_000);
});

test("the report: axe finds nothing", async () => {
  const page = await served.openUnguarded("api/lots/1/sheet?report=full");
  expect(await violations(page)).toEqual([]);
  await page.close();
});

/** How far what was on the screen has moved by itself since the page was opened. */
function shifted(): Promise<number> {
  return new Promise((done) => {
    let sum = 0;
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries())
        if ("value" in entry && typeof entry.value === "number") sum += entry.value;
    }).observe({ type: "layout-shift", buffered: true });
    setTimeout(() => done(sum), 50);
  });
}
