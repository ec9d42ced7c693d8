import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { launchBrowser } from "./browser.ts";
import { serveGallery } from "./galleryServed.ts";

const approvedFile = fileURLToPath(new URL("./gallery.json", import.meta.url));
/** Writes the looks of today as those approved: only after looking at them. Without it a missing file fails. */
const isApproving = process.env["FINEBAND_APPROVE_LOOKS"] === "1";
/** Fonts differ from machine to machine; what is where, and how dark, does not. */
const [columns, rows] = [24, 12];
/** Darkness of a cell, 0 to 100, may differ by so much; and so many cells of a piece may differ by more. */
const [maxApart, fewCells] = [9, 0.06];

let served: Awaited<ReturnType<typeof serveGallery>>;
let browser: Browser;
beforeAll(async () => {
  [served, browser] = await Promise.all([serveGallery(), launchBrowser()]);
});
afterAll(async () => {
  await browser?.close();
  await served?.stop();
});

async function open(): Promise<{ page: Page; faults: string[] }> {
  const page = await browser.newPage({ viewport: { width: 1200, height: 900 } });
  const faults: string[] = [];
  page.on("pageerror", (fault) => faults.push(fault.message));
  await page.goto(served.address);
  await page.locator("h1").waitFor();
  return { page, faults };
}

/** How dark each cell of a raster over a piece is: a picture of its picture that survives another font. */
async function looks(page: Page, name: string): Promise<number[]> {
  const piece = page.locator(`[data-piece="${name}"] :is(figure, ul, .strip)`).first();
  const png = (await piece.screenshot({ animations: "disabled" })).toString("base64");
  return page.evaluate(
    async ({ png, columns, rows }) => {
      const image = new Image();
      image.src = `data:image/png;base64,${png}`;
      await image.decode();
      const canvas = new OffscreenCanvas(columns * 8, rows * 8);
      const pen = canvas.getContext("2d");
      if (pen === null) return [];
      pen.drawImage(image, 0, 0, canvas.width, canvas.height);
      const cells = Array.from({ length: columns * rows }, () => 0);
      const { data } = pen.getImageData(0, 0, canvas.width, canvas.height);
      for (let i = 0; i < data.length; i += 4) {
        const at = i / 4;
        const cell =
          Math.floor((at % canvas.width) / 8) + columns * Math.floor(Math.floor(at / canvas.width) / 8);
        const light = ((data[i] ?? 0) + (data[i + 1] ?? 0) + (data[i + 2] ?? 0)) / 765;
        cells[cell] = (cells[cell] ?? 0) + ((1 - light) * 100) / 64;
      }
      return cells.map(Math.round);
    },
    { png, columns, rows },
  );
}

const pictures = [
  "colours of the stages",
  "spaces and sizes of type",
  "twelve columns",
  "overlay",
  "overlay, predicted",
  "log density",
  "D50 over wheel speed",
  "percentile-ratio line",
  "fines balance",
  "area by size",
  "history of lots",
  "effect of a setting",
  "limits in every state",
];

test("every picture of the gallery looks as it was approved", async () => {
  const { page, faults } = await open();
  await page.locator('[data-piece="effect of a setting"] svg').waitFor();
  await page.waitForLoadState("networkidle");
  await page.evaluate(() => new Promise((resolve) => setTimeout(resolve, 300)));
  const found: Record<string, number[]> = {};
  for (const name of pictures) found[name] = await looks(page, name);
  if (isApproving) writeFileSync(approvedFile, `${JSON.stringify(found)}\n`);
  expect(
    existsSync(approvedFile),
    "tests/browser/gallery.json is missing: look at the pictures, then run this test with FINEBAND_APPROVE_LOOKS=1",
  ).toBe(true);
  const approved: Record<string, number[]> = JSON.parse(readFileSync(approvedFile, "utf8"));
  expect(Object.keys(approved)).toEqual(pictures);
  for (const name of pictures) {
    const [now = [], then = []] = [found[name], approved[name]];
    const differing = now.filter((dark, i) => Math.abs(dark - (then[i] ?? 0)) > maxApart).length;
    expect(differing / (columns * rows), `${name}: share of cells that look otherwise`).toBeLessThan(
      fewCells,
    );
    expect(Math.max(...now), `${name} holds a picture`).toBeGreaterThan(5);
  }
  expect(faults).toEqual([]);
  await page.close();
});

test("every state says what it is and, where something can be done, what", async () => {
  const { page } = await open();
  const words = (name: string) => page.locator(`[data-piece="${name}"]`).textContent();
  expect(await words("empty")).toMatch(/Make a band on the page Bands/);
  expect(await words("waiting")).toMatch(/Loading what never comes …/);
  expect(await words("failed")).toMatch(
    /Could not load what is not there[\s\S]*Try again[\s\S]*A picture could not be shown: the numbers end in nothing/,
  );
  expect(await words("refused")).toMatch(/Row 7: the cumulative share falls/);
  expect(await words("stale")).toMatch(/not assessed yet/);
  // Its fields are fetched when they are first shown.
  await page.locator('[data-piece="too few runs"]').getByText("Use an agreed repeatability").waitFor();
  await page.close();
});

test("a chart is exported as a drawing, so wide on paper as wanted, as an image three times as sharp, and as its numbers", async () => {
  const { page } = await open();
  const chart = page.locator('[data-piece="D50 over wheel speed"]');
  await chart.getByText("Export this picture").click();
  const save = async (name: "SVG" | "PNG" | "CSV") => {
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      chart.getByRole("button", { name, exact: true }).click(),
    ]);
    return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
  };
  const svg = (await save("SVG")).bytes.toString("utf8");
  expect(svg).toMatch(/^<svg width="170mm" height="[\d.]+mm" xmlns=/);
  expect(svg).toContain("<text ");
  expect(svg).toContain("rated 8500 rpm");
  expect(svg).toContain("milled D50");
  const png = (await save("PNG")).bytes;
  expect(png.subarray(1, 4).toString()).toBe("PNG");
  // The width stands big-endian at byte 16 of a PNG file; 96 of a screen's dots are an inch (CSS Values 4, 6.2).
  expect(Math.abs(png.readUInt32BE(16) - (3 * 170 * 96) / 25.4)).toBeLessThanOrEqual(3);
  await chart.getByLabel("width, mm").fill("85");
  await chart.getByLabel("width, mm").press("Tab");
  expect((await save("SVG")).bytes.toString("utf8")).toMatch(/^<svg width="85mm" height="[\d.]+mm" xmlns=/);
  const csv = (await save("CSV")).bytes.toString("utf8").split("\r\n");
  expect(csv[0]).toBe(
    '"wheel speed, rpm","95th percentile (D50, µm)","5th percentile (D50, µm)","milled D50 (D50, µm)"',
  );
  expect(csv[1]?.startsWith("3000,")).toBe(true);
  await page.close();
});
