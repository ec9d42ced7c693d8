import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { goBelow } from "./browser.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;

beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

async function open(place: string): ReturnType<typeof served.open> {
  const opened = await served.open(place);
  opened.page.setDefaultTimeout(30_000);
  return opened;
}

describe("how a lot stands and where it came from, in a real browser", { timeout: 120_000 }, () => {
  test("state, day, origin and masses are changed beside the page, and a lot is split off and inherits", async () => {
    const { page, faults } = await open("#/lot?lot=5");
    const about = page.getByRole("button", { name: /^State and origin of the lot/ });
    await about.click();
    const drawer = page.getByRole("dialog", { name: "Garnet host, lot 11: state and origin" });
    const state = drawer.getByRole("form", { name: "State of the lot" });
    await state.getByLabel("State").selectOption("on hold");
    await state.getByLabel("Why").fill("lumps");
    await state.getByRole("button", { name: "Save the state" }).click();
    await drawer.getByText(/^on hold since /).waitFor();
    await drawer.getByLabel("Made on").fill("2026-11-20");
    await drawer.getByRole("button", { name: "Save the day" }).click();
    const masses = drawer.getByRole("form", { name: "Day and masses of milled" });
    await masses.getByLabel("In").fill("1000");
    await masses.getByLabel("Out").fill("940");
    await masses.getByRole("button", { name: "Save" }).click();
    await drawer.getByRole("cell", { name: "94.0" }).waitFor();
    const split = drawer.getByRole("form", { name: "New lot from this one" });
    await split.getByLabel("Name of the new lot").fill("Garnet host, lot 11 b");
    await split.getByLabel("From stage").selectOption("milled");
    await split.getByLabel("Mass taken").fill("400");
    await split.getByRole("button", { name: "Split it off" }).click();
    await page.getByText("Split from Garnet host, lot 11, milled (400 g).").waitFor();
    await page.getByRole("link", { name: "milled, inherited from Garnet host, lot 11" }).click();
    await page.getByRole("button", { name: /: On hold \(lumps\), made 20 Nov 2026$/ }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("shares of a blend must add to 100 %, and the blend is said", async () => {
    const { page, faults } = await open("#/lot?lot=4");
    await page.getByRole("button", { name: /^State and origin of the lot/ }).click();
    const origin = page.getByRole("form", { name: "Where the powder came from" });
    await origin.getByRole("button", { name: "Name the lot it came from" }).click();
    await origin.getByLabel("Parent 1", { exact: true }).selectOption("Garnet host, lot 08");
    await origin.getByRole("button", { name: "Add a lot to the blend" }).click();
    await origin.getByLabel("Parent 2", { exact: true }).selectOption("Garnet host, lot 09");
    await origin.getByLabel("Share").first().fill("40");
    await origin.getByText("The shares add to 90 %, not 100 %.").waitFor();
    await origin.getByLabel("Share").last().fill("60");
    await origin.getByRole("button", { name: "Save where it came from" }).click();
    await page
      .getByText(/Blended from 40.0 % Garnet host, lot 08, \S+ and 60.0 % Garnet host, lot 09/)
      .waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  test("runs are told which portion they were measured on, several at once, and one undo takes it back", async () => {
    const { page, faults } = await open("#/lot?lot=6");
    await goBelow(page);
    await page.getByRole("button", { name: "Edit portions of milled" }).click();
    const form = page.getByRole("form", { name: "Portions of milled" });
    await form.getByRole("checkbox").first().uncheck();
    await form.getByLabel("Portion", { exact: true }).fill("B");
    await form.getByLabel("How it was drawn").fill("spinning riffler");
    await form.getByRole("button", { name: "Save the portion of 2 runs" }).click();
    await page.getByText("milled: B (2 runs, spinning riffler); one run without").waitFor();
    await page.getByRole("button", { name: /^Undo: noted portion "B" of 2 runs/ }).click();
    await page.getByText("milled: one portion, nothing noted of it").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });
});
