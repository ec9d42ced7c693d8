// `npm run bench`: how long what the user waits for takes. Measured in a real browser; figures are printed, nothing is judged.
// Compare ratios within one run: machines differ.
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { benchAnswers } from "./answers.mjs";
import { benchLots } from "./lots.mjs";
import { benchMill } from "./mill.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "fineband-bench-"));
const server = spawn(process.execPath, [join(root, "api/dist/main.js")], {
  env: { ...process.env, PORT: "0", FINEBAND_DATA: folder },
});
const address = await new Promise((resolve) =>
  server.stdout.on("data", (d) => /at (\S+)/.exec(String(d)) && resolve(/at (\S+)/.exec(String(d))[1])),
);
const path = process.env.BROWSER_PATH ?? ["/usr/bin/chromium", "/usr/bin/google-chrome"].find(existsSync);
const browser = await chromium.launch({
  ...(path === undefined ? {} : { executablePath: path }),
  args: ["--no-sandbox", "--disable-gpu"],
  env: { ...process.env, LANG: "en_US.UTF-8" },
});
const at = (list, p) => list.toSorted((a, b) => a - b)[Math.floor(p * (list.length - 1))].toFixed(1);

// The opening page on the demo lot, everything fetched before: from the first byte to the verdict, and to a page that
// has nothing left to do and so answers a click at once.
const first = await browser.newPage({ viewport: { width: 1200, height: 900 } });
await first.addInitScript(() => {
  new MutationObserver((_, seen) => {
    if (document.querySelector("h1[data-verdict]") === null) return;
    seen.disconnect();
    window.verdictAt = performance.now();
    requestIdleCallback(() => {
      window.idleAt = performance.now();
    });
  }).observe(document, { childList: true, subtree: true });
});
const opened = [];
for (let i = 0; i < 11; i++) {
  await first.goto("about:blank");
  await first.goto(address);
  await first.waitForFunction(() => window.idleAt !== undefined);
  opened.push(
    await first.evaluate(() => {
      const { responseStart } = performance.getEntriesByType("navigation")[0];
      return { verdict: window.verdictAt - responseStart, idle: window.idleAt - responseStart };
    }),
  );
}
await first.close();
const warm = opened.slice(1);
for (const [name, list] of [
  ["the verdict", warm.map((o) => o.verdict)],
  ["ready for a click", warm.map((o) => o.idle)],
])
  console.log(
    `opening page, warm, first byte to ${name}: median ${at(list, 0.5)} ms, 95th percentile ${at(list, 0.95)} ms of ${list.length} loads`,
  );

const page = await browser.newPage({ viewport: { width: 1200, height: 1600 } });
const begun = Date.now();
await page.goto(`${address}#/wheel`);
await page.getByRole("slider").waitFor();
console.log(`first view of a warm start: ${Date.now() - begun} ms to the slider`);

// From the input event to the last stroke on any canvas that it caused: computing, updating the page, redrawing.
const times = await page.evaluate(async () => {
  let lastDrawn = 0;
  for (const name of ["stroke", "fill", "fillText", "fillRect"]) {
    const drawn = CanvasRenderingContext2D.prototype[name];
    CanvasRenderingContext2D.prototype[name] = function (...args) {
      const result = drawn.apply(this, args);
      lastDrawn = performance.now();
      return result;
    };
  }
  const slider = document.querySelector("input[type=range]");
  const taken = [];
  for (let i = 0; i < 200; i++) {
    await new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve, 5)));
    const from = performance.now();
    slider.value = String(4500 + ((i * 170) % 4000));
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    await new Promise((resolve) => setTimeout(resolve, 40));
    taken.push(lastDrawn - from);
  }
  return taken;
});
console.log(
  `slider to redrawn charts: median ${at(times, 0.5)} ms, 95th percentile ${at(times, 0.95)} ms of ${times.length} moves`,
);
await browser.close();
server.kill();
rmSync(folder, { recursive: true, force: true });
await benchMill();
await benchLots();
await benchAnswers();
