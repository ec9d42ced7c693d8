import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;

beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

const columns = 10_000;
const classes = 100;
/** Upper edges that step by 1.1 and humps that move from column to column: 7 MB. */
function largeTable(): Buffer {
  const humps = Array.from({ length: 20 }, (_, h) => {
    const weights = Array.from({ length: classes }, (_, i) => Math.exp(-(((i - 40 - h) / 10) ** 2)));
    const whole = weights.reduce((a, b) => a + b);
    return weights.map((w) => ((100 * w) / whole).toFixed(4));
  });
  const heading = Array.from({ length: columns }, (_, c) => `s${c} volume %`).join(",");
  const rows = Array.from({ length: classes }, (_, i) => {
    const shares = Array.from({ length: columns }, (_, c) => humps[c % 20]?.[i]).join(",");
    return `${(0.05 * 1.1 ** i).toPrecision(5)},${shares}`;
  });
  return Buffer.from(`upper edge um,${heading}\n${rows.join("\n")}\n`);
}

// A tenth of a second is the limit for an answer that feels immediate: common practice.
const maxMs = 100;

test("10,000 columns of 100 classes are read while the page answers, and reading can be cancelled", {
  timeout: 300_000,
}, async () => {
  const { page, faults } = await served.open("#/lot?lot=1");
  page.setDefaultTimeout(120_000);
  await page.getByRole("button", { name: "Import a table" }).click();
  const buffer = largeTable();
  expect(buffer.length).toBeGreaterThan(7e6);
  const bring = () =>
    page.getByLabel("Or files").setInputFiles([{ name: "large.csv", mimeType: "text/csv", buffer }]);

  await bring();
  await page.getByRole("button", { name: "Cancel" }).click();
  await page.getByText("Reading was stopped.").waitFor();
  expect(await page.getByRole("progressbar").count()).toBe(0);

  // Another program on the same processors may hold one reading up; the page itself must not.
  let late = Number.POSITIVE_INFINITY;
  for (let attempt = 0; attempt < 3 && !(late < maxMs); attempt++) {
    if (attempt > 0) await bring();
    else await page.getByRole("button", { name: "Read it anyway" }).click();
    const { waits, shares } = await clicksWhileReading(page);
    expect(waits.length).toBeGreaterThan(5);
    expect(shares).toBeGreaterThan(2);
    // 95 in a hundred: one that the system itself holds back, to run another program, is not the page's.
    late = waits.toSorted((a, b) => a - b)[Math.floor(0.95 * (waits.length - 1))] ?? late;
    expect(Math.max(...waits)).toBeLessThan(10 * maxMs);
    await page
      .getByText("10,000 measurements are read; the first 6 are shown below, all are saved")
      .waitFor();
  }
  expect(late).toBeLessThan(maxMs);
  await page.getByText(/Preview of 6 measurements from your table, the first/).waitFor();
  expect(faults).toEqual([]);
  await page.close();
});

/** Clicks at a steady beat until the table is read, each timed from when it was due; and how many shares were shown. */
async function clicksWhileReading(page: Page): Promise<{ waits: number[]; shares: number }> {
  await page.getByRole("progressbar").waitFor();
  return page.evaluate(async () => {
    const button = document.createElement("button");
    document.body.append(button);
    const waits: number[] = [];
    const shares = new Set<number>();
    for (;;) {
      const due = performance.now() + 20;
      await new Promise((resolve) => setTimeout(resolve, 20));
      const bar = document.querySelector("progress");
      // The page is about to show what was read: no longer part of reading.
      if (bar === null) break;
      shares.add(bar.value);
      button.onclick = () => waits.push(performance.now() - due);
      button.click();
    }
    button.remove();
    return { waits, shares: shares.size };
  });
}
