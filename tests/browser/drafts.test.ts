import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

test("what was typed survives a reload, says so, and goes by one press or once it is saved", async () => {
  const { page, faults } = await served.open("#/lots");
  const form = page.getByRole("form", { name: "Save the lot" });
  await form.getByLabel("Name", { exact: true }).fill("Lot typed at night");
  await form.getByLabel("Note", { exact: true }).fill("the kiln door was open");
  await page.reload();
  await form.getByText("Typed before and not saved: Lot typed at night.").waitFor();
  expect(await form.getByLabel("Note", { exact: true }).inputValue()).toBe("the kiln door was open");
  await form.getByRole("button", { name: "Discard what was typed" }).click();
  expect(await form.getByLabel("Name", { exact: true }).inputValue()).toBe("");
  await page.reload();
  expect(await form.getByLabel("Name", { exact: true }).inputValue()).toBe("");

  // A band's text too, and once it is saved nothing of it is left over.
  await page.goto(page.url().replace(/#.*/, "#/bands"));
  const band = page.getByRole("form", { name: /^Band / }).first();
  const name = band
    .getByLabel("Name of the band")
    .or(band.getByLabel("Name", { exact: true }))
    .first();
  await name.fill("Band typed at night");
  await page.reload();
  await band.getByText("Typed before and not saved").waitFor();
  await band.getByRole("button", { name: "Save the band" }).click();
  await band.getByText("The band is saved.").waitFor();
  await page.reload();
  await page.getByRole("heading", { name: /^Band typed at night/ }).waitFor();
  expect(await page.getByText("Typed before and not saved").count()).toBe(0);
  expect(faults).toEqual([]);
  await page.close();
});
