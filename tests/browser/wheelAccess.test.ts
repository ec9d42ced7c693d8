import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { violations } from "./axe.ts";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;

/** A curve of three classes, as the server keeps one. */
const curve = (shares: readonly number[]) => ({
  quantity: "volume",
  measuredAs: "volume",
  inClass: "log-uniform",
  lowerUm: [1, 2, 4, 8],
  upperUm: [2, 4, 8, 16],
  shares,
  belowShare: 0,
  aboveShare: 0,
});

beforeAll(async () => {
  served = await serve();
  const { page } = await served.open("#/wheel-plan");
  const tell = (method: "POST" | "PUT", path: string, data: unknown) =>
    page.evaluate(
      async ([how, where, body]) => {
        const answer = await fetch(where ?? "", {
          method: how ?? "",
          headers: { "content-type": "application/json" },
          body: body ?? "",
        });
        if (!answer.ok) throw new Error(await answer.text());
      },
      [method, path, JSON.stringify(data)],
    );
  await tell("POST", "api/pressure-mills", {
    name: "Flat mill",
    ratedBar: 9,
    trials: [5, 6, 8].map((pressureBar) => ({ pressureBar, feedKgPerH: 8, d50Um: 25 / pressureBar })),
  });
  await tell("POST", "api/balances", {
    name: "5,400 rpm",
    feed: curve([0.25, 0.25, 0.25, 0.25]),
    fines: curve([0.45, 0.35, 0.15, 0.05]),
    coarse: curve([0.05, 0.15, 0.35, 0.45]),
    fineYield: null,
  });
  await tell("PUT", "api/lots/1/batches/crushed", {
    afterMin: 30,
    d50AfterUm: 6,
    targetD50Um: 3,
    rateExponent: 1,
    fragmentExponent: 1.4,
  });
  await page.close();
});
afterAll(() => served?.stop());

const places = ["#/wheel-plan", "#/equipment"] as const;

/** A place with every section open and filled. */
async function openAll(place: (typeof places)[number], colours: "light" | "dark"): Promise<Page> {
  const { page } = await served.open(place, 1200, colours);
  if (place === "#/wheel-plan") {
    await page.locator("#plan-below").scrollIntoViewIfNeeded();
    await page.getByRole("grid", { name: "Trials" }).waitFor();
  }
  await page.evaluate(() => {
    for (const part of document.querySelectorAll("details")) part.open = true;
  });
  if (place === "#/wheel-plan") {
    await page.getByText(/^The steady-state grinding and classification model/).waitFor();
    return page;
  }
  // What stands below the frame is fetched when one comes near it.
  for (const heading of ["Jet mill without a classifier wheel", /^Stream balance/, /^Batch mill/])
    await page.getByRole("heading", { name: heading }).scrollIntoViewIfNeeded();
  await page.getByText(/The separator cuts at|Too few classes contain feed/).waitFor();
  await page.getByText(/D50 3.00 µm takes/).waitFor();
  await page.getByRole("img", { name: /D50 against nozzle pressure/ }).waitFor();
  return page;
}

describe.each(places)("%s with everything open", (place) => {
  test.each(["light", "dark"] as const)(
    "axe finds nothing, %s",
    async (colours) => {
      const page = await openAll(place, colours);
      expect(await violations(page)).toEqual([]);
      await page.close();
    },
    90_000,
  );

  test("the Tab key reaches every field, button, picture and heading that opens", async () => {
    const page = await openAll(place, "light");
    const meant = await page.evaluate(() => {
      const all = [
        ...document.querySelectorAll<HTMLElement>(
          "a[href], button, input, select, textarea, summary, [tabindex='0']",
        ),
      ].filter((e) => e.checkVisibility() && !e.matches(":disabled"));
      for (const [i, e] of all.entries()) e.dataset["reach"] = String(i);
      return all.map((e) => e.outerHTML.slice(0, 120));
    });
    const reached = new Set<string>();
    await page.evaluate(() => {
      document.body.tabIndex = -1;
      document.body.focus();
    });
    for (let i = 0; i < meant.length + 20; i++) {
      await page.keyboard.press("Tab");
      reached.add(await page.evaluate(() => document.activeElement?.getAttribute("data-reach") ?? ""));
    }
    expect(meant.filter((_, i) => !reached.has(String(i)))).toEqual([]);
    expect(meant.length).toBeGreaterThan(50);
    await page.close();
  }, 90_000);
});
