import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { goBelow } from "./browser.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

const sample = (path: string) =>
  readFileSync(new URL(`../../distributions/samples/${path}`, import.meta.url), "utf8");

/** The first run of a demo lot as a table with a heading that names the quantity. */
function oneRun(quantity: string): string {
  const rows = sample("lots/garnet-07/re-fired.csv")
    .split("\n")
    .filter((row) => /^[\d.]+;/.test(row))
    .map((row) => row.split(";").slice(0, 3).join(","));
  return [`lower_um,upper_um,share % by ${quantity}`, ...rows].join("\n");
}

const h1 = async (page: Page) => ((await page.locator("h1").textContent()) ?? "").replaceAll("\u00a0", " ");

async function bringIn(page: Page, table: string): Promise<void> {
  await page.getByRole("button", { name: "Import a table" }).click();
  await page
    .getByLabel("Or files")
    .setInputFiles({ name: "table.csv", mimeType: "text/csv", buffer: Buffer.from(table) });
}

describe("the verdict says what it is about", () => {
  test("a number measurement is judged and drawn by volume, and the page says so", async () => {
    const { page } = await served.open("#/lot?lot=1");
    await bringIn(page, oneRun("volume"));
    await page.getByText("Preview of one measurement").waitFor();
    const d50 = page.locator(".limits .row").nth(1);
    const byVolume = await d50.textContent();
    await page.getByLabel("Shares count").selectOption("number");
    await page
      .getByText(/The limits are by volume: .* is measured by number and was converted to volume/)
      .first()
      .waitFor();
    expect(await d50.textContent()).not.toBe(byVolume);
    await page.close();
  });

  test("a stage that the band is not for is named first, and gets no verdict", async () => {
    const { page } = await served.open("#/lot?lot=1&stage=milled");
    expect(await h1(page)).toMatch(
      /^This is milled powder; the band is for re-fired powder, which may be coarser\. As measured \(four runs\), the powder /,
    );
    expect(await page.locator("h1 strong").count()).toBe(0);
    expect(await page.locator("main").textContent()).not.toMatch(/in band|out of band/i);
    await page.close();
  });

  test.each([
    ["waits for an answer", "1,20\n2,60\n4,20"],
    ["was refused", "lower_um,upper_um,volume %\n1,2,43\n2,4,50"],
  ])("while a table %s, the page says whose verdict it shows", async (_, table) => {
    const { page } = await served.open("#/lot?lot=1");
    await bringIn(page, table);
    await page
      .getByText(
        /Your table is not assessed yet: .* The verdict below is for Garnet host, lot 07, re-fired\./,
      )
      .waitFor();
    expect(await page.locator("h1.stale").count()).toBe(1);
    await page.close();
  });

  test("out of band: a short headline, the rest below it, and no number torn from its unit", async () => {
    const { page } = await served.open("#/lot?lot=3", 320);
    const words = await page.locator("h1").textContent();
    expect((words ?? "").length).toBeLessThan(130);
    expect(words).not.toMatch(/\d (µm|%)/);
    expect(await page.locator("h1 + .lead").textContent()).toMatch(/the curve leaves the envelope/);
    await page.getByText("chance: under 1 %").first().waitFor();
    await goBelow(page);
    await page.getByText("They include sampling and dispersion only if each run").waitFor();
    await page.close();
  });

  test("one run: D50 sits inside, but it cannot tell the spread; an agreed repeatability judges a limit", async () => {
    const { page } = await served.open("#/lot?lot=1");
    await bringIn(page, oneRun("volume"));
    await page.getByText("Preview of one measurement").waitFor();
    expect(await h1(page)).toMatch(
      /^Not judged: one run; three runs or an agreed repeatability are needed\. D50 .* is within its limits, but one run cannot show/,
    );
    const row = page.locator(".limits > li").nth(1);
    expect(await row.textContent()).toMatch(/too few runs/);
    await page.getByText("Use an agreed repeatability").click();
    await page.getByLabel("D50, agreed repeatability").fill("0,02");
    await row.getByText("in band").waitFor();
    await page.close();
  });

  test("log density is drawn at the classes measured, and says that the band has no area there", async () => {
    const { page, faults } = await served.open("#/lot?lot=1");
    await page.getByLabel("Show").selectOption("log density");
    await page.getByText("The band limits the undersize curve, so it is not drawn here.").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a lot with nothing in it says what to do, with no empty list, sentence or table", async () => {
    const { page } = await served.open("#/lots");
    await page.getByLabel("Name", { exact: true }).fill("Empty lot");
    await page.getByLabel("Density of the solid").fill("4,55");
    await page.getByRole("button", { name: "Save the lot" }).click();
    await page.getByRole("heading", { name: "Empty lot has no measurements yet." }).waitFor();
    const words = (await page.locator("main").textContent()) ?? "";
    expect(words).toMatch(/Import the table of one of its stages/);
    expect(words).not.toMatch(/Thick line|could be fitted|, 4\.55/);
    expect(await page.locator("table, canvas").count()).toBe(0);
    await page.close();
  });
});

describe("what waits below", () => {
  test("the fits are worked out as one comes to them, and before printing", async () => {
    const { page } = await served.open("#/lot?lot=1");
    await goBelow(page);
    const heading = page.getByRole("heading", { name: "Curve fit" });
    await heading.waitFor();
    expect(await page.getByText("Calculated when you scroll to it.").count()).toBe(1);
    await heading.scrollIntoViewIfNeeded();
    await page
      .getByText(/describes the powder best|not distinguishable/)
      .first()
      .waitFor();
    await page.close();
    const { page: printed } = await served.open("#/lot?lot=1");
    await goBelow(printed);
    await printed.getByText("Calculated when you scroll to it.").waitFor();
    await printed.evaluate(() => dispatchEvent(new Event("beforeprint")));
    await printed
      .getByText(/describes the powder best|not distinguishable/)
      .first()
      .waitFor();
    await printed.close();
  });
});

describe("Compare", () => {
  test("two lots are compared: each side has its lot, stage and D50, fines rise in size, shifts are factors", async () => {
    const { page } = await served.open("#/compare?lot=1");
    await page.getByLabel("From lot").selectOption({ label: "Garnet host, lot 09" });
    await page.getByLabel("stage", { exact: true }).first().selectOption("re-fired");
    await page.getByLabel("stage", { exact: true }).nth(1).selectOption("re-fired");
    await page
      .getByRole("heading", {
        name: /^Against Garnet host, lot 09 \(re-fired\), Garnet host, lot 07 \(re-fired\) is/,
      })
      .waitFor();
    expect(page.url()).toMatch(/against-lot=3/);
    expect(await page.getByText(/D50\s[\d.]+\sµm/).count()).toBe(2);
    const words = (await page.locator("table").first().textContent()) ?? "";
    expect(words).toMatch(/below 0\.5 .*below 1 .*below 2 /s);
    expect(words).toMatch(/Mean size change(divided by|times)/);
    expect(words).not.toMatch(/% of size/);
    await page.close();
  });
});

describe("the keyboard", () => {
  test("bringing in moves the focus into the panel; Escape closes it and brings the focus back", async () => {
    const { page } = await served.open("#/lot?lot=1");
    const opener = page.getByRole("button", { name: "Import a table" });
    await opener.focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement?.id === "table-text");
    await page.keyboard.press("Escape");
    expect(await page.locator("#table-text").count()).toBe(0);
    expect(await opener.evaluate((button) => button === document.activeElement)).toBe(true);
    await page.close();
  });

  test("stage links are at least 24 px high", async () => {
    const { page } = await served.open("#/lot?lot=1");
    for (const link of await page.locator(".stages a").all())
      expect((await link.boundingBox())?.height).toBeGreaterThanOrEqual(24);
    await page.close();
  });
});
