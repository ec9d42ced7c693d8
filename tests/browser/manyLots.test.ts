import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("the stages page says which lots are nearest to the one looked at", async () => {
  const { page, faults } = await served.open("#/compare?lot=1&stage=re-fired");
  const section = page.locator("section[aria-labelledby=many]");
  await section.waitFor();
  await expect
    .poll(() => section.locator("[data-many]").textContent())
    .toMatch(/is nearest to Garnet host, lot 07, re-fired: /);
  expect(await section.locator("tbody tr").count()).toBeGreaterThanOrEqual(2);
  expect(faults).toEqual([]);
  await page.close();
});

test("a stage of another lot is added, the link restores it, and it is taken out again", async () => {
  const { page, faults } = await served.open("#/compare?lot=1&stage=re-fired");
  const section = page.locator("section[aria-labelledby=many]");
  const form = section.getByRole("form", { name: "Add to the comparison" });
  await form.getByLabel("Add lot").selectOption({ label: "Reference powder" });
  await form.getByRole("button", { name: "Add" }).click();
  const distances = section.getByRole("table", { name: "Distances from the reference" });
  await distances.getByRole("rowheader", { name: "Reference powder, reference" }).waitFor();
  await form.getByLabel("Add lot").selectOption({ label: "Garnet host, lot 08" });
  await form.getByLabel("stage").selectOption("milled");
  await form.getByRole("button", { name: "Add" }).click();
  await distances.getByRole("rowheader", { name: "Garnet host, lot 08, milled" }).waitFor();
  const rows = await distances.locator("tbody tr").count();
  expect(await section.locator("svg.picture polyline.line").count()).toBeGreaterThanOrEqual(rows - 1);
  await page.reload();
  await distances.getByRole("rowheader", { name: "Garnet host, lot 08, milled" }).waitFor();
  await section.getByRole("button", { name: "Remove Garnet host, lot 08, milled" }).click();
  await distances
    .getByRole("rowheader", { name: "Garnet host, lot 08, milled" })
    .waitFor({ state: "detached" });
  expect(await distances.locator("tbody tr").count()).toBe(rows - 1);
  expect(faults).toEqual([]);
  await page.close();
});

test("the fines balance is drawn, a bar a step and size", async () => {
  const { page } = await served.open("#/compare?lot=1");
  const steps = page.locator("section[aria-labelledby=steps]");
  const balance = steps.getByRole("img", { name: /^Fines made and lost: fired to/ });
  await balance.waitFor();
  expect(await balance.locator("polygon").count()).toBe(9);
  await page.close();
});

test("every run of the stage is drawn thin, and the sizes shown are typed or dragged", async () => {
  const { page, faults } = await served.open("#/compare?lot=1&stage=re-fired");
  await page.getByLabel("Show every re-fired run of this material as thin lines").check();
  await page
    .getByText(/^Thin lines: 26 re-fired runs by volume, of six lots; their D50\s3\.\d+–\u2060?3\.\d+\sµm\.$/)
    .waitFor();
  const from = page.getByLabel("Sizes shown from", { exact: true });
  const to = page.getByLabel("Sizes shown up to", { exact: true });
  const all = await from.inputValue();
  await from.fill("1");
  await to.fill("16");
  const plot = page.locator("section[aria-labelledby=many] .u-over").first();
  await plot.scrollIntoViewIfNeeded();
  const box = await plot.boundingBox();
  if (box === null) throw new Error("there must be a picture");
  // A quarter of the way to the right over a stretch of 1 to 16: every size shown halves.
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + box.width / 4, y, { steps: 5 });
  await page.mouse.up();
  await expect.poll(async () => Number(await from.inputValue())).toBeCloseTo(0.5, 1);
  expect(Number(await to.inputValue())).toBeCloseTo(8, 0);
  await page.getByRole("button", { name: "Show all sizes" }).click();
  expect(await from.inputValue()).toBe(all);
  expect(faults).toEqual([]);
  await page.close();
});

test("a blend is tried by keyboard; one lot alone is no blend", async () => {
  const { page, faults } = await served.open("#/compare?lot=1&stage=re-fired");
  await page.getByText("Blend and air classification, calculated").scrollIntoViewIfNeeded();
  const said = page.locator("[data-blend]");
  await expect
    .poll(() => said.textContent(), { timeout: 15_000 })
    .toMatch(/would be in band|No blend of these lots/);
  for (const lot of ["08", "09", "10"]) {
    await page.getByRole("checkbox", { name: `Garnet host, lot ${lot}` }).focus();
    await page.keyboard.press("Space");
  }
  await expect.poll(() => said.textContent()).toBe("Select two lots or more.");
  expect(faults).toEqual([]);
  await page.close();
});

test("the shares of a blend are typed; they need not add to 100 %", async () => {
  const { page, faults } = await served.open("#/compare?lot=1&stage=re-fired");
  await page.getByText("Blend and air classification, calculated").scrollIntoViewIfNeeded();
  const said = page.locator("[data-blend]");
  await expect.poll(() => said.textContent(), { timeout: 15_000 }).toMatch(/would be in band/);
  // Of each lot without a share it is said why.
  expect(await page.locator("[data-no-share] li").count()).toBeGreaterThan(0);
  await page.getByLabel("Shares", { exact: true }).selectOption("typed");
  for (const [lot, share] of [
    ["07", "45"],
    ["08", "15"],
    ["09", ""],
    ["10", ""],
  ])
    await page.getByLabel(`share of Garnet host, lot ${lot}`).fill(share ?? "");
  await expect
    .poll(() => said.textContent())
    .toMatch(/^With 75\.0\s% Garnet host, lot 07 and 25\.0\s% Garnet host, lot 08 the blend would be /);
  await page.getByText(/The shares typed add to 60\.0\s% and are taken in proportion\./).waitFor();
  expect(faults).toEqual([]);
  await page.close();
});

test("the coarse end is cut off at a typed size, and the rest is held against the band", async () => {
  const { page } = await served.open("#/compare?lot=1&stage=re-fired");
  await page.getByText("Blend and air classification, calculated").click();
  await page.getByLabel("at", { exact: true }).fill("8");
  await page.getByText(/Removing the powder coarser than 8\.00.* leaves .* of the lot\./).waitFor();
  await page.close();
});

test("at 320 px nothing runs off the side, with the trials open", async () => {
  const { page } = await served.open("#/compare?lot=1&stage=re-fired", 320);
  await page.getByText("Blend and air classification, calculated").click();
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);
  await page.close();
});
