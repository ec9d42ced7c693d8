import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { serve } from "./served.ts";
import { dropFiles, hands, Visitor } from "./visitor.ts";

/** What people come for, from the first screen, with as many actions and seconds as it may take at most. */
const tasks: readonly {
  readonly what: string;
  readonly actions: number;
  readonly seconds: number;
  readonly go: (visitor: Visitor, page: Page) => Promise<void>;
}[] = [
  {
    what: "from a dropped table to its verdict",
    actions: 3,
    seconds: 60,
    go: async (visitor, page) => {
      await dropFiles(page, [{ name: "export.csv", text: tableOfLot09() }]);
      // It is read as it comes, with the one question that its text leaves open.
      await visitor.press(page.getByRole("button", { name: /^volume/ }));
      await page.locator('h1[data-verdict="out of band"]').waitFor();
      expect(await page.locator("h1").textContent()).toMatch(/^Out of band.*D90/);
    },
  },
  {
    what: "why a lot is out",
    actions: 1,
    seconds: 15,
    go: async (visitor, page) => {
      await visitor.goTo("lot 09", async () => {
        await page.getByLabel("Lot", { exact: true }).selectOption({ label: "Garnet host, lot 09" });
      });
      await page.locator('h1[data-verdict="out of band"]').waitFor();
      expect(await page.locator("h1").textContent()).toMatch(/D90.*(above|below|over|under)/);
      await page
        .getByText(
          /would bring the mean into the band|shape of the distribution must change|raises the chance/,
        )
        .first()
        .waitFor();
    },
  },
  {
    what: "the best setting for the band",
    actions: 2,
    seconds: 30,
    go: async (visitor, page) => {
      await visitor.goTo("Wheel plan", () =>
        page.getByRole("link", { name: "Wheel plan", exact: true }).click(),
      );
      await page.locator("#plan-below").scrollIntoViewIfNeeded();
      await page.getByText(/^Highest chance of being in band/).waitFor();
      await visitor.press(page.getByRole("button", { name: "Set speed and flow to the highest chance" }));
      const likeliest = await page.getByText(/^Highest chance of being in band/).textContent();
      const speed = /([\d,]+)\srpm/.exec(likeliest ?? "")?.[1] ?? "none";
      await page.locator("h1", { hasText: speed }).waitFor();
      expect(await page.locator("h1").textContent()).toMatch(/\d+\s% chance of being in band/);
    },
  },
  {
    what: "what re-firing undid",
    actions: 1,
    seconds: 20,
    go: async (visitor, page) => {
      await visitor.goTo("Compare", () => page.getByRole("link", { name: "Compare" }).click());
      await page
        .getByText(/Re-firing reversed [\d.]+\s%.*size reduction by crushing and milling/)
        .first()
        .waitFor();
    },
  },
  {
    what: "the predicted BET area",
    actions: 0,
    seconds: 20,
    go: async (_visitor, page) => {
      // It stands in the frame of the lot that the page opens with, among the limits.
      const row = page.locator(".limits > li", { hasText: /^Predicted BET0\.\d+\sm²\/g95\s%: / });
      await row.waitFor();
      expect(await row.evaluate((li) => li.getBoundingClientRect().bottom < innerHeight)).toBe(true);
    },
  },
  {
    what: "the report of a lot",
    actions: 2,
    seconds: 10,
    go: async (visitor, page) => {
      const opened = page.context().waitForEvent("page");
      await visitor.press(page.getByRole("button", { name: "Print the report" }));
      const sheet = await opened;
      await sheet.getByRole("heading", { name: "Garnet host, lot 07, re-fired" }).waitFor();
      await sheet.close();
    },
  },
  {
    what: "five lots side by side",
    actions: 4,
    seconds: 30,
    go: async (visitor, page) => {
      await visitor.goTo("Lots", () => page.getByRole("link", { name: "Lots", exact: true }).click());
      await visitor.tick(page.getByLabel("Tick all lots shown"));
      await visitor.tick(page.getByLabel("Tick Garnet host, lot 09"));
      await page.getByText("5 lots ticked.").waitFor();
      await visitor.press(page.getByRole("link", { name: "Compare or blend them" }));
      const others = page.getByRole("table", { name: "Distances from the reference" }).getByRole("rowheader");
      await others.filter({ hasText: "Garnet host, lot 07, re-fired" }).waitFor();
      expect(await others.filter({ hasText: /^Garnet host, lot \d\d, re-fired/ }).count()).toBe(4);
      expect(await others.filter({ hasText: "lot 09" }).count()).toBe(0);
    },
  },
];

/** As it is copied out of a spreadsheet: without the line that says what its numbers are. */
function tableOfLot09(): string {
  const path = new URL("../../distributions/samples/lots/garnet-09/re-fired.csv", import.meta.url);
  return readFileSync(path, "utf8").split("\n").slice(1).join("\n");
}

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

describe.each(hands)("with the %s alone, from the first screen", (hand) => {
  test.each(tasks)("$what, in $actions actions at most", { timeout: 90_000 }, async (task) => {
    const { page, faults } = await served.open("#/lot?lot=1");
    const visitor = new Visitor(page, hand);
    const begun = Date.now();
    await task.go(visitor, page);
    const seconds = (Date.now() - begun) / 1000;
    console.log(`${task.what}, ${hand}: ${visitor.actions} actions, ${visitor.steps} presses of Tab`);
    expect(visitor.actions).toBeLessThanOrEqual(task.actions);
    expect(seconds).toBeLessThan(task.seconds);
    expect(faults).toEqual([]);
    await page.close();
  });
});
