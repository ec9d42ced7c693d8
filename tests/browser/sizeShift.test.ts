import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("the band check says how surely all limits hold at once, and of an outlying lot what would bring it in", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  const line = page.locator("[data-size-shift]");
  await line.waitFor();
  expect(await line.textContent()).toMatch(
    /^From this lot's runs and the scatter pooled with \S+ other lots?, the chance of being in band on all limits together is .* for the powder measured\./,
  );
  await page.getByLabel("Lot", { exact: true }).selectOption({ label: "Garnet host, lot 09" });
  await page.locator('h1[data-verdict="out of band"]').waitFor();
  expect(await line.textContent()).toMatch(
    /would bring the mean into the band|so the shape of the distribution must change/,
  );
  expect(faults).toEqual([]);
  await page.close();
});
