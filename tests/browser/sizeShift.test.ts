import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("the band check says how surely all limits hold at once, and of an outlying lot what would bring it in", async () => {
  const { page, faults } = await served.open("");
  const line = page.locator("[data-size-shift]");
  await line.waitFor();
  expect(await line.textContent()).toMatch(
    /^(By the scatter pooled over the kept lots, a|A)ll limits hold at once with a chance of/,
  );
  await page.getByLabel("Lot", { exact: true }).selectOption({ label: "Garnet host, lot 09" });
  await page.locator('h1[data-verdict="out of band"]').waitFor();
  expect(await line.textContent()).toMatch(/would bring it in|so the shape must change/);
  expect(faults).toEqual([]);
  await page.close();
});
