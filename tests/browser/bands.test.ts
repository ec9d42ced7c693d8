import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

const form = (page: Page, name: string) => page.getByRole("form", { name: `Band ${name}` });

describe("a band about a reference", () => {
  test("is made, renamed, given a stage and another limit, saved, and chosen for the lot by its link", async () => {
    const { page, faults } = await served.open("#/bands");
    await page.getByRole("button", { name: "Make a band from it" }).click();
    const drawn = form(page, "Reference powder band");
    await drawn
      .getByText(/the larger of .* times the scatter of six runs\) and .* \(the agreed 3\.00\s%\)/)
      .first()
      .waitFor();
    await drawn.getByLabel("Stage").selectOption("milled");
    await drawn.getByLabel("Another limit").selectOption("largest class");
    await drawn.getByRole("button", { name: "Add Largest class" }).click();
    await drawn.getByLabel("Largest class to").fill("25");
    await drawn.getByLabel("Name").fill("Milled target");
    const renamed = form(page, "Milled target");
    await renamed.getByRole("button", { name: "Save the band" }).click();
    await renamed.getByText("The band is saved.").waitFor();
    expect(await renamed.getByRole("heading", { name: "Milled target, for milled" }).count()).toBe(1);
    await renamed.getByRole("link", { name: "Check the lot against this band" }).click();
    const chosen = page.getByRole("region", { name: "Limits" }).getByLabel("Target band");
    await chosen.waitFor();
    const saved = await (await page.request.get(new URL("api/bands", page.url()).href)).json();
    const { id } = saved.bands.find(({ band }: { band: { name: string } }) => band.name === "Milled target");
    expect(page.url()).toMatch(new RegExp(`band=${id}$`));
    expect(await chosen.locator("option:checked").textContent()).toBe("Milled target");
    expect(await page.locator(".limits").textContent()).toMatch(/Largest class/);
    await page.reload();
    await chosen.waitFor();
    expect(await chosen.locator("option:checked").textContent()).toBe("Milled target");
    expect(faults).toEqual([]);
    await page.close();
  });

  test("a lower limit above the upper one is said beside the field in plain words, and is not saved", async () => {
    const { page } = await served.open("#/bands");
    const target = form(page, "Garnet target");
    const from = target.getByLabel("D50 from");
    await from.fill("9");
    await target.getByText("The lower limit is above the upper one.").first().waitFor();
    expect(await from.getAttribute("aria-invalid")).toBe("true");
    await target.getByRole("button", { name: "Save the band" }).click();
    await target.getByText("D50: The lower limit is above the upper one.").waitFor();
    expect(await page.locator("main").textContent()).not.toMatch(/rows\[|low must/);
    await page.close();
  });

  test.each([
    ["#/bands?lot=1", "yttrium aluminium garnet"],
    ["#/bands?lot=20", "yttrium aluminium garnet, doped"],
    ["#/bands?lot=11", "yttrium aluminium garnet, doped"],
  ])(
    "at %s the risks of a rule are those of lots judged by that band, of one material",
    async (at, garnet) => {
      const { page, faults } = await served.open(at);
      const risksOf = async (name: string) =>
        (await form(page, name).locator("[data-band-risks]").first().textContent()) ?? "";
      await expect.poll(() => risksOf("Ceria target")).toMatch(/\b\w+ of ceria\b/);
      await expect
        .poll(() => risksOf("Garnet target"))
        .toMatch(new RegExp(`\\d+ of ${garnet}( at this stage|\\.$)`));
      expect(faults).toEqual([]);
      await page.close();
    },
  );

  test("at 320 px both fields of every limit are whole on the screen", async () => {
    const { page } = await served.open("#/bands", 320);
    for (const field of await form(page, "Garnet target").getByRole("textbox").all()) {
      const box = await field.boundingBox();
      expect((box?.x ?? 0) + (box?.width ?? 999)).toBeLessThanOrEqual(320);
    }
    await page.close();
  });
});

describe("the BET calibration", () => {
  test("offers the geometric area of the lot's stage, reads a decimal comma and asks about an odd pair", async () => {
    const { page } = await served.open("#/bands");
    const note = page.getByRole("button", { name: "Save the new pair" });
    const bet = page.getByLabel("BET area");
    expect(Number(await page.getByLabel("Geometric area", { exact: true }).inputValue())).toBeCloseTo(
      0.463,
      2,
    );
    await bet.fill("0,46");
    await page.getByText(/below the geometric one/).waitFor();
    expect(await note.isDisabled()).toBe(true);
    await bet.fill("86");
    await page.getByText(/times the geometric one.*Is a decimal mark missing/).waitFor();
    await page.getByLabel("The values are correct").check();
    expect(await note.isDisabled()).toBe(false);
    await bet.fill("0,61");
    expect(await page.getByLabel("The values are correct").count()).toBe(0);
    await note.click();
    await page.getByRole("cell", { name: "0.610", exact: true }).waitFor();
    await page.close();
  });
});

describe("the curve of a band", () => {
  test("is widened by typed points, shown only, and taken away, each saved with the band", async () => {
    const { page, faults } = await served.open("#/bands");
    const own = form(page, "Garnet target");
    const field = own.getByLabel(/^Curve at .* µm, at most$/);
    const before = Number(await field.inputValue());
    await own.getByLabel("Widen to both sides by").fill("0,5");
    await own.getByRole("button", { name: "Widen", exact: true }).click();
    expect(Number(await field.inputValue())).toBeCloseTo(before + 0.5, 1);
    await own.getByLabel("The curve is").selectOption("shown only");
    await own.getByRole("button", { name: "Save the band" }).click();
    await own.getByText("The band is saved.").waitFor();
    await own.getByText(/They are shown only: no verdict asks for them\./).waitFor();
    await page.goto(new URL("#/lot?lot=31", page.url()).href);
    await page.getByText(/Sand-coloured area: target band, not judged\./).waitFor();
    expect(await page.locator("h1").textContent()).not.toMatch(/envelope/);
    await page.getByRole("link", { name: "Edit the band" }).click();
    await own.getByRole("button", { name: "Remove the limits of the curve" }).click();
    await own.getByText("No limits on the curve.").waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });
});
