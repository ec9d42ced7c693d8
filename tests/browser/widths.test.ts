import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { serve } from "./served.ts";

let served: Awaited<ReturnType<typeof serve>>;
beforeAll(async () => {
  served = await serve();
});
afterAll(() => served?.stop());

/** 320 px is also what 1280 px shows at 400 %. */
const widths = [320, 360, 390, 480, 600, 768, 900, 1024, 1200, 1440, 1920, 2560];

const places = [
  "#/lots",
  "#/lot?lot=1",
  "#/lot?lot=3",
  "#/lot?lot=1&stage=milled",
  "#/compare?lot=1",
  "#/wheel-plan",
  "#/process",
  "#/equipment",
  "#/bands",
  "#/change-history",
];

test.each(places)(
  "%s: from 320 to 2560 px no text lies over other text, nothing is cut or runs off the side",
  {
    timeout: 120_000,
  },
  async (place) => {
    const { page, faults } = await served.open(place, 1440);
    await page.waitForLoadState("networkidle");
    const found: string[] = [];
    for (const width of widths) {
      await page.setViewportSize({ width, height: 900 });
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 60))));
      for (const fault of await page.evaluate(badBoxes)) found.push(`${width} px: ${fault}`);
    }
    expect(found).toEqual([]);
    expect(faults).toEqual([]);
    await page.close();
  },
);

/** In band, on the edge, out; of the second material; lumps; a blend with the longest origin; and one with many notes. */
const lots = ["lot 07", "lot 08", "lot 09", "Ceria", "lot 18", "lot 34", "many notes"];

test.each(lots)("%s: the decision stands in one frame at 1440 × 900 and at 1024 × 768", async (called) => {
  const { page } = await served.open("#/lots", 1440);
  const lot = called === "many notes" ? await withManyNotes(page) : await numberOf(page, called);
  await page.goto(new URL(`#/lot?lot=${lot}`, page.url()).href);
  // What another page kept is here after a reload.
  await page.reload();
  await page.locator(".actions").waitFor();
  await page.locator(".limits > li", { hasText: /^(Predicted )?BET/ }).waitFor();
  if (called === "many notes") await page.locator("summary", { hasText: /^\S+ notes, first: / }).waitFor();
  else await page.locator("[data-size-shift]").waitFor();
  for (const [width, height] of [
    [1440, 900],
    [1024, 768],
  ] as const) {
    await page.setViewportSize({ width, height });
    for (const part of [".stages", "h1", ".chart-canvas", ".limits > li:last-child", ".actions"])
      await expect
        .poll(() => bottomOf(page, part), { message: `${part} at ${width} × ${height}` })
        .toBeLessThanOrEqual(height);
    expect(await page.evaluate(() => document.querySelector(".chart-canvas")?.clientHeight)).toBeGreaterThan(
      180,
    );
  }
  await page.close();
});

test.each([
  [1440, 900, 6],
  [1024, 768, 5],
])(
  "at %i × %i Lots shows the sentence, the picture and %i lots in one frame",
  async (width, height, many) => {
    const { page } = await served.open("#/lots", width);
    await page.setViewportSize({ width, height });
    await page.locator("h1", { hasText: /finished lots (is|are) in band/ }).waitFor();
    expect(await bottomOf(page, ".chart-canvas")).toBeLessThanOrEqual(height);
    expect(await bottomOf(page, `.lots tbody tr:nth-child(${many})`)).toBeLessThanOrEqual(height);
    await page.close();
  },
);

async function numberOf(page: Page, called: string): Promise<number> {
  const answer = await page.request.get(new URL("/api/lots", page.url()).href);
  const { lots }: { lots: { id: number; name: string }[] } = await answer.json();
  const found = lots.find((lot) => lot.name.includes(called));
  if (found === undefined) throw new Error(`no lot is called ${called}`);
  return found.id;
}

/** A lot with a long note of its own, whose runs are copies and end within the sizes that are limited. */
async function withManyNotes(page: Page): Promise<number> {
  const at = (path: string) => new URL(path, page.url()).href;
  const note = "Kept for the record: every step of the firing was noted, and nothing else was out of order. ";
  const made = await page.request.post(at("/api/lots"), {
    data: {
      name: "Lot of many notes",
      material: "yttrium aluminium garnet",
      densityGPerCm3: 4.55,
      bandId: 1,
      note: note.repeat(6).trim(),
    },
  });
  const { lot }: { lot: { id: number } } = await made.json();
  const rows = [
    [1.5, 12],
    [2, 22],
    [3, 55],
    [4, 81],
  ].map(([size, share]) => `${size}\t${share}\t${share}\t${share}`);
  const text = [
    "shares by volume",
    "size um, by volume\tundersize % a\tundersize % b\tundersize % c",
    ...rows,
  ].join("\n");
  await page.request.post(at(`/api/lots/${lot.id}/measurements`), { data: { stage: "re-fired", text } });
  return lot.id;
}

async function bottomOf(page: Page, selector: string): Promise<number> {
  const box = await page.locator(selector).first().boundingBox();
  return box === null ? Number.POSITIVE_INFINITY : box.y + box.height;
}

/** Texts that lie over each other, words that are cut by their box, and what runs off the side of the page. */
function badBoxes(): string[] {
  const bad: string[] = [];
  const room = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > room)
    bad.push(`the page is ${document.documentElement.scrollWidth} px wide`);
  const isShown = (e: Element) =>
    e.checkVisibility({ visibilityProperty: true }) &&
    e.closest(".unseen, .skip, svg, canvas, .chart-canvas, dialog") === null;
  const boxes: { words: string; element: Element; box: DOMRect }[] = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
    const element = node.parentElement;
    const words = (node.textContent ?? "").trim();
    if (element === null || words === "" || !isShown(element) || element.closest("option") !== null) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects())
      if (box.width > 1) boxes.push({ words: words.slice(0, 40), element, box });
  }
  for (const element of document.querySelectorAll(
    "button, select, input:not([type=checkbox], [type=range], [type=radio])",
  ))
    if (isShown(element))
      boxes.push({
        words: element.getAttribute("aria-label") ?? element.tagName,
        element,
        box: element.getBoundingClientRect(),
      });
  const byTop = boxes.sort((a, b) => a.box.top - b.box.top);
  for (const [i, a] of byTop.entries())
    for (let j = i + 1; j < byTop.length; j++) {
      const b = byTop[j];
      if (b === undefined || b.box.top > a.box.bottom - 3) break;
      if (a.element.contains(b.element) || b.element.contains(a.element)) continue;
      const across = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
      const down = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
      // Lines of text may touch by what their letters do not use.
      if (across > 3 && down > 4 && a.element.closest(".scroll") === b.element.closest(".scroll"))
        bad.push(`"${a.words}" lies over "${b.words}"`);
    }
  for (const element of document.querySelectorAll("button, label, th, td, h1, h2, h3, a, p, li"))
    if (
      isShown(element) &&
      element.scrollWidth > element.clientWidth + 2 &&
      getComputedStyle(element).overflowX !== "visible"
    )
      bad.push(`"${(element.textContent ?? "").slice(0, 40)}" is cut`);
  return [...new Set(bad)];
}
