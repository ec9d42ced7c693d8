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
