import { readFileSync } from "node:fs";
import type { Locator, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("a chart says size and value of every line at the pointer, zooms by dragging and by keys, and goes back", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  const chart = page.locator(".chart-canvas").first();
  await page.getByRole("button", { name: "Export this picture" }).first().waitFor();
  const box = await chart.boundingBox();
  const at = (share: number) => (box?.x ?? 0) + share * (box?.width ?? 0);
  const middle = (box?.y ?? 0) + (box?.height ?? 0) / 2;
  await page.mouse.move(at(0.5), middle);
  const tip = page.locator(".tip");
  await tip.waitFor();
  expect(await tip.textContent()).toMatch(/^[\d.]+ µm.*fired [\d.]+ %.*re-fired [\d.]+ %/);
  const showsPart = page.getByText("A part of the axis is shown");
  await page.mouse.down();
  await page.mouse.move(at(0.7), middle, { steps: 4 });
  await page.mouse.up();
  await showsPart.waitFor();
  await page.mouse.dblclick(at(0.4), middle);
  await showsPart.waitFor({ state: "detached" });
  await chart.focus();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("+");
  await showsPart.waitFor();
  await page.keyboard.press("Escape");
  await showsPart.waitFor({ state: "detached" });
  expect(faults).toEqual([]);
  await page.close();
});

/** Every page that draws charts over an axis of sizes, speeds or lots. */
const pages: readonly { readonly at: string; readonly press?: string }[] = [
  { at: "#/lot?lot=1" },
  { at: "#/lots" },
  { at: "#/wheel-plan" },
  { at: "#/wheel-plan", press: "D50 against speed" },
];

test.each(pages)(
  "every chart of $at reads out, zooms and goes back by pointer and keys, and is exported",
  {
    timeout: 180_000,
  },
  async ({ at, press }) => {
    const { page, faults } = await served.open(at, 1440);
    if (press !== undefined) await page.getByRole("button", { name: press }).click();
    // Parts that come when one is near them are walked to.
    for (let y = 0; y < 6000; y += 800) {
      await page.mouse.wheel(0, 800);
      await page.waitForTimeout(150);
    }
    await page.waitForLoadState("networkidle");
    const charts = page.locator("figure.chart:has(.chart-canvas)");
    await charts.first().waitFor();
    const count = await charts.count();
    for (let i = 0; i < count; i++) await walkChart(page, charts.nth(i));
    expect(faults).toEqual([]);
    await page.close();
  },
);

/** The keys first, then the pointer, then what the picture is exported as. */
async function walkChart(page: Page, figure: Locator): Promise<void> {
  const canvas = figure.locator(".chart-canvas");
  const named = (await canvas.getAttribute("aria-label")) ?? "";
  expect(named, "each chart has its finding").toMatch(/\w{3}/);
  const exporting = figure.getByRole("button", { name: "Export this picture" });
  await exporting.waitFor();
  const isPart = figure.getByText("A part of the axis is shown");
  await canvas.focus();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("+");
  await isPart.waitFor();
  await page.keyboard.press("Escape");
  await isPart.waitFor({ state: "detached" });
  // Parts above may still come and push the chart on: where it is, is measured anew for each stroke.
  const placeAt = async (share: number) => {
    await canvas.scrollIntoViewIfNeeded();
    const box = await canvas.boundingBox();
    return [(box?.x ?? 0) + share * (box?.width ?? 0), (box?.y ?? 0) + (box?.height ?? 0) / 2] as const;
  };
  const tip = figure.locator(".tip");
  await page.mouse.move(...(await placeAt(0.4)));
  await page.mouse.move(...(await placeAt(0.5)));
  await tip.waitFor();
  expect(await tip.locator("strong").textContent(), named).toMatch(/\S/);
  expect(await tip.locator("div").count(), named).toBeGreaterThanOrEqual(1);
  await expect
    .poll(async () => {
      await page.mouse.move(...(await placeAt(0.4)));
      await page.mouse.down();
      await page.mouse.move(...(await placeAt(0.7)), { steps: 4 });
      await page.mouse.up();
      return isPart.isVisible();
    })
    .toBe(true);
  await page.mouse.dblclick(...(await placeAt(0.45)));
  await isPart.waitFor({ state: "detached" });
  await exporting.click();
  await figure.getByRole("button", { name: "Copy", exact: true }).waitFor();
  for (const kind of ["PNG", "SVG", "CSV"]) {
    const saved = page.waitForEvent("download");
    await figure.getByRole("button", { name: kind, exact: true }).click();
    const file = await (await saved).path();
    const bytes = readFileSync(file);
    if (kind === "PNG") {
      // IHDR of a PNG (RFC 2083, 3.2 and 4.1.1): width and height as big-endian numbers from byte 16 on.
      expect([...bytes.subarray(1, 4)].map((c) => String.fromCharCode(c)).join("")).toBe("PNG");
      expect(bytes.readUInt32BE(16)).toBeGreaterThanOrEqual(1000);
    } else if (kind === "SVG") expect(bytes.toString()).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    else expect(bytes.toString().trim().split("\n").length).toBeGreaterThan(2);
  }
  await exporting.click();
}

/** Every page that draws pictures of marks, and how they are reached. */
test.each([
  { at: "#/compare?lot=1", count: 3 },
  { at: "#/lot?lot=1", count: 1 },
  { at: "#/process", count: 1 },
])(
  "every drawn picture of $at reads out, magnifies and goes back by pointer and keys, and is exported",
  { timeout: 120_000 },
  async ({ at, count }) => {
    const { page, faults } = await served.open(at, 1440);
    for (let y = 0; y < 6000; y += 800) {
      await page.mouse.wheel(0, 800);
      await page.waitForTimeout(150);
    }
    await page.waitForLoadState("networkidle");
    const pictures = page.locator("figure.chart:has(.picture-box)");
    await pictures.nth(count - 1).waitFor();
    for (const figure of await pictures.all()) await walkPicture(page, figure);
    expect(faults).toEqual([]);
    await page.close();
  },
);

async function walkPicture(page: Page, figure: Locator): Promise<void> {
  const picture = figure.locator(".picture-box");
  const drawn = picture.locator("svg");
  const whole = await drawn.getAttribute("viewBox");
  expect(await picture.getAttribute("aria-label")).toMatch(/\w{3}/);
  await picture.focus();
  await page.keyboard.press("ArrowRight");
  const tip = figure.locator(".tip");
  await tip.waitFor();
  expect(await tip.textContent()).toMatch(/\d/);
  await page.keyboard.press("+");
  await expect.poll(() => drawn.getAttribute("viewBox")).not.toBe(whole);
  await page.keyboard.press("Escape");
  await expect.poll(() => drawn.getAttribute("viewBox")).toBe(whole);
  const at = async (share: number) => {
    await picture.scrollIntoViewIfNeeded();
    const box = await picture.boundingBox();
    return [(box?.x ?? 0) + share * (box?.width ?? 0), (box?.y ?? 0) + (box?.height ?? 0) / 2] as const;
  };
  await page.mouse.move(...(await at(0.3)));
  await page.mouse.down();
  await page.mouse.move(...(await at(0.6)), { steps: 4 });
  await page.mouse.up();
  await expect.poll(() => drawn.getAttribute("viewBox")).not.toBe(whole);
  await page.mouse.dblclick(...(await at(0.4)));
  await expect.poll(() => drawn.getAttribute("viewBox")).toBe(whole);
  await figure.getByRole("button", { name: "Export this picture" }).click();
  await figure.getByRole("button", { name: "Copy", exact: true }).waitFor();
  for (const kind of ["PNG", "SVG", "CSV"]) {
    const saved = page.waitForEvent("download");
    await figure.getByRole("button", { name: kind, exact: true }).click();
    const bytes = readFileSync(await (await saved).path());
    // A PNG of 170 mm at 96 dots an inch is 643 dots wide; thrice as sharp it is wider than 1900.
    if (kind === "PNG") expect(bytes.readUInt32BE(16)).toBeGreaterThan(1280);
    else if (kind === "SVG") expect(bytes.toString()).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    else expect(bytes.toString().trim().split("\n").length).toBeGreaterThan(1);
  }
}

test("a picture is copied as an image", async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  await page.context().grantPermissions(["clipboard-read", "clipboard-write"]);
  await page.getByRole("button", { name: "Export this picture" }).first().click();
  await page.getByRole("button", { name: "Copy", exact: true }).click();
  await page.getByText("Copied.").waitFor();
  const kinds = await page.evaluate(async () =>
    (await navigator.clipboard.read()).flatMap((item) => item.types),
  );
  expect(kinds).toEqual(["image/png"]);
  expect(faults).toEqual([]);
  await page.close();
});
