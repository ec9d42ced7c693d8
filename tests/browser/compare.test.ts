import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

describe("the stages of a lot in a real browser", () => {
  test("each step is told in words and in the table, and what re-firing undid", async () => {
    const { page, faults } = await served.open("#/compare?lot=1");
    const section = page.locator("section[aria-labelledby=steps]");
    await section.waitFor();
    expect(await page.locator("h1").textContent()).toMatch(
      /^Against milled powder, re-fired powder is \S+\s% coarser/,
    );
    expect(await section.locator(".lead").textContent()).toMatch(
      /Re-firing reversed .*size reduction by crushing and milling/,
    );
    expect(await section.locator("ol.steps-in-words li").count()).toBe(3);
    expect(await section.locator("thead th").allTextContents()).toContain("milled → re-fired");
    expect(faults).toEqual([]);
    await page.close();
  });

  test("masses noted on the lot card are taken up; those of another lot are its own", async () => {
    const { page } = await served.open("#/compare?lot=1");
    const url = new URL(page.url()).origin;
    for (const [stage, grams] of [
      ["fired", "500"],
      ["crushed", "498"],
    ])
      await page.request.put(`${url}/api/lots/1/stages/${stage}`, {
        data: { settings: [{ name: "mass", value: grams, unit: "g" }], note: "" },
      });
    await page.reload();
    await page
      .getByText(/\), \+[\d.]+\sg/)
      .first()
      .waitFor();
    await page.getByText("Mass of powder at each stage").click();
    const fired = page.getByLabel("Mass fired");
    expect(await fired.inputValue()).toBe("500");
    await fired.fill("510");
    await page.goto(`${url}/#/compare?lot=2`);
    await page
      .getByRole("heading", { name: /lot 08/ })
      .first()
      .waitFor();
    expect(await fired.inputValue()).toBe("");
    await page.goto(`${url}/#/compare?lot=1`);
    await page
      .getByRole("heading", { name: /lot 07/ })
      .first()
      .waitFor();
    expect(await fired.inputValue()).toBe("510");
    await page.close();
  });

  test("masses entered by keyboard turn points into grams", async () => {
    const { page } = await served.open("#/compare?lot=1");
    const summary = page.getByText("Mass of powder at each stage");
    await summary.focus();
    await page.keyboard.press("Enter");
    await page.getByLabel("Mass fired").fill("500");
    await page.getByLabel("Mass crushed").fill("498");
    await page
      .getByText(/\), \+[\d.]+\sg/)
      .first()
      .waitFor();
    await page.close();
  });
});
