import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { violations } from "./axe.ts";
import { goBelow } from "./browser.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

const lead = async (page: Page) =>
  ((await page.locator("[data-predicted-bet]").textContent()) ?? "").replaceAll("\u00a0", " ");

async function noteBet(page: Page, value: string): Promise<void> {
  const form = page.getByRole("form", { name: "New result" });
  await form.getByLabel("Result", { exact: true }).fill("BET area");
  await form.getByLabel("Stage", { exact: true }).selectOption("re-fired");
  await form.getByLabel("Value").fill(value);
  await form.getByRole("button", { name: "Save the new result" }).click();
}

describe("predicted BET of a lot", { timeout: 120_000 }, () => {
  test("is given, compared with the measured value, and takes it as a pair for the next", async () => {
    const { page, faults } = await served.open("#/lot?lot=1");
    page.setDefaultTimeout(30_000);
    await goBelow(page);
    await page.locator("[data-predicted-bet]").waitFor();
    expect(await lead(page)).toMatch(/The predicted BET area is 0\.\d+ m²\/g \(.*four pairs, ratio\)/);
    await noteBet(page, "0,9");
    await page
      .getByText(/The measured .* is higher than predicted .* Possible causes: fines below/)
      .waitFor();
    await page.getByRole("button", { name: /^Undo: noted BET area 0.9/ }).click();
    await page.getByText(/Once BET is measured, enter it/).waitFor();
    await noteBet(page, "0.6");
    await page.getByText(/agrees with the prediction/).waitFor();
    await page.getByRole("button", { name: "Add it to the BET calibration" }).click();
    await page.getByText("The measured value is part of the BET calibration.").waitFor();
    // It is still judged by the others' pairs alone.
    expect(await lead(page)).toMatch(/four pairs, ratio/);
    expect(faults).toEqual([]);
    await page.close();
  });

  test("rests on the results of the other lots of its material, on the lot's page and in the plan", async () => {
    const { page, faults } = await served.open("#/lot?lot=11");
    const report = await page.request.get(new URL("api/lots/11/sheet?stage=re-fired", page.url()).href);
    const [, value, range] =
      /predicted BET area is (\S+) m²\/g \((\S+) in 95 % of cases; five pairs/.exec(await report.text()) ??
      [];
    expect(value).toBeDefined();
    const limits = async () =>
      ((await page.locator(".limits").textContent()) ?? "")
        .replaceAll("\u2060", "")
        .replaceAll("\u00a0", " ");
    await expect.poll(limits, { timeout: 30_000 }).toContain(`predicted ${value} (${range})`);
    await page.getByRole("link", { name: "Wheel plan", exact: true }).click();
    await page.getByText("five lots measured").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a specification set with the band gives a chance, and another instrument makes a pair stale", async () => {
    const { page, faults } = await served.open("#/bands");
    page.setDefaultTimeout(30_000);
    const band = page.getByRole("form", { name: "Band Garnet target" });
    await band.getByLabel("BET specification to").fill("0.64");
    await band.getByRole("button", { name: "Save the band" }).click();
    await band.getByText("The band is saved.").waitFor();
    await page.getByRole("button", { name: "Edit re-fired pair, row 2" }).click();
    await page.getByRole("cell").getByLabel("Instrument").fill("cell A");
    await page.getByRole("button", { name: "Save the pair" }).click();
    await page.getByRole("cell", { name: /cell A/ }).waitFor();
    await page.getByRole("link", { name: "Lot", exact: true }).click();
    await page.locator("h1").waitFor();
    await goBelow(page);
    await page.getByText(/The chance of being within the BET limits is \d\d\s%/).waitFor();
    await page.getByRole("button", { name: "Edit how re-fired was measured" }).click();
    const form = page.getByRole("form", { name: "How re-fired was measured" });
    await form.getByLabel("instrument").fill("cell B");
    await form.getByRole("button").last().click();
    await page.getByText(/One pair is not used: measured with a different instrument/).waitFor();
    await page.getByRole("cell", { name: "out of date: different instrument" }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("axe finds nothing serious, light and dark, and nothing runs off the side at 320 px", async () => {
    for (const scheme of ["light", "dark"] as const) {
      const { page } = await served.open("#/lot?lot=1", 320, scheme);
      await goBelow(page);
      await page.locator("[data-predicted-bet]").waitFor();
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);
      expect(await violations(page)).toEqual([]);
      await page.close();
    }
  });
});
