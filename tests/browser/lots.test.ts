import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("Lots says how the material stands, sorts by a heading, filters by verdict, and compares what is ticked", async () => {
  const { page, faults } = await served.open("#/lots");
  await page
    .locator("h1", {
      hasText:
        /^One of six finished lots is in band\. Four on the edge and one out of band\. .*out of band: D90/,
    })
    .waitFor();
  const rows = page.locator(".lots tbody tr");
  // The material of the lot looked at is chosen at first; every other lot is one choice, or one search, away.
  const material = page.getByLabel("Material", { exact: true }).first();
  expect(await material.inputValue()).toBe("yttrium aluminium garnet");
  expect(await rows.count()).toBe(6);
  await page.locator("h1 + .lead", { hasText: /^37 lots saved\. .*Six lots shown\.$/ }).waitFor();
  await page.getByLabel("Find lots by name, material or note").fill("ceria");
  await expect.poll(() => rows.count()).toBe(6);
  expect(await rows.first().textContent()).toContain("Ceria polish");
  await page.getByLabel("Find lots by name, material or note").fill("");
  await material.selectOption("all materials");
  await expect.poll(() => rows.count()).toBe(36);
  await material.selectOption("yttrium aluminium garnet");
  const out = page.locator(".lots tbody tr", { hasText: "Garnet host, lot 09" });
  expect(await out.textContent()).toMatch(/out of band\s*D90\s7\.64\sµm, over 6\.25\sµm/);
  await page.getByRole("button", { name: /^D90, µm/ }).click();
  await page.getByRole("columnheader", { name: "D90, µm ↑" }).waitFor();
  expect(await page.locator("th[aria-sort]").getAttribute("aria-sort")).toBe("ascending");
  expect(await rows.last().textContent()).toContain("lot 09");
  await page.getByLabel("Verdict").selectOption("out of band");
  await expect.poll(() => rows.count()).toBe(1);
  await page.getByLabel("Verdict").selectOption("any verdict");
  await page.getByLabel("Find lots by name, material or note").fill("lot 1");
  await expect.poll(() => rows.count()).toBe(3);
  await page.getByLabel("Tick Garnet host, lot 10").check();
  await page.getByLabel("Tick Garnet host, lot 12").check();
  await page.getByRole("link", { name: "Compare or blend them" }).click();
  await page.waitForURL(/#\/compare\?.*with=/);
  await page.getByText("Garnet host, lot 12, re-fired").first().waitFor();
  expect(faults).toEqual([]);
  await page.close();
});
