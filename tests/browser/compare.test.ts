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

  test("the sizes of the stages stand side by side, and the difference of two curves has its interval", async () => {
    const { page, faults } = await served.open("#/compare?lot=1", 1440);
    const table = page.getByRole("table", { name: /^Sizes of the stages/ }).locator("tbody tr");
    await expect.poll(() => table.count()).toBe(4);
    // D50 of the re-fired powder as on the page Lot.
    expect((await table.last().textContent())?.replaceAll("\u2060", "")).toMatch(/3\.41 \(3\.37–3\.45\)/);
    await page.getByRole("button", { name: "Difference", exact: true }).click();
    await page.getByText("Shaded: 95 % interval at each size by itself.").waitFor();
    const chart = page.locator(".chart-canvas").first();
    await chart.focus();
    await page.keyboard.press("ArrowRight");
    await expect
      .poll(() => page.locator(".tip").first().textContent())
      .toMatch(/re-fired powder less milled/);
    expect(faults).toEqual([]);
    await page.close();
  });

  test("of two instruments the offset is said, and corrected only where one asks for it", async () => {
    const { page, faults } = await served.open("#/compare?lot=1", 1440);
    const origin = new URL(page.url()).origin;
    const table = (factor: number) =>
      ["lower um,upper um,a volume %,b volume %"]
        .concat(
          [1, 2, 4].map((um, i) => {
            const edges = [um, 2 * um].map((edge) => (edge * factor).toFixed(4)).join(",");
            return `${edges},${["20,22", "60,60", "20,18"][i]}`;
          }),
        )
        .join("\n");
    const ids: number[] = [];
    const post = async (path: string, data: object) => {
      const answer = await page.request.post(`${origin}/api/${path}`, { data });
      expect(answer.status(), await answer.text()).toBe(201);
      return answer.json();
    };
    for (const [i, factor] of [1.05, 1.06, 1.07].entries()) {
      const { lot } = await post("lots", {
        name: `offset ${i}`,
        material: "offset powder",
        densityGPerCm3: 4,
      });
      ids.push(lot.id);
      for (const [instrument, by] of [
        ["laser A", 1],
        ["laser B", factor],
      ] as const)
        await post(`lots/${lot.id}/measurements`, {
          stage: "milled",
          text: table(by),
          howMeasured: { instrument },
        });
    }
    // Two lots of one instrument each are compared.
    for (const [instrument, by] of [
      ["laser A", 1],
      ["laser B", 1.06],
    ] as const) {
      const { lot } = await post("lots", {
        name: `alone ${instrument}`,
        material: "offset powder",
        densityGPerCm3: 4,
      });
      ids.push(lot.id);
      await post(`lots/${lot.id}/measurements`, {
        stage: "milled",
        text: table(by),
        howMeasured: { instrument },
      });
    }
    await page.goto(`${origin}/#/compare?lot=${ids[4]}&against-lot=${ids[3]}`);
    await page.reload();
    const offset = page.locator("[data-offset]");
    await expect
      .poll(() => offset.textContent())
      .toMatch(/laser B finds D50\s6(\.0)?\s% coarser than laser A .* nothing is corrected by it/);
    const heading = page.locator("h1");
    expect(await heading.textContent()).toMatch(/^Against .* 6\.00\s% coarser/);
    await offset.getByRole("checkbox").check();
    await expect.poll(() => heading.textContent()).toMatch(/^Corrected for the instrument: against /);
    expect(await heading.textContent()).not.toMatch(/[1-9]\.\d+\s% (coarser|finer) on average/);
    await offset.getByRole("checkbox").uncheck();
    await expect.poll(() => heading.textContent()).toMatch(/^Against /);
    expect(faults).toEqual([]);
    await page.close();
  });
});
