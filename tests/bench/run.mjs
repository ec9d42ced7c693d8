// `npm run bench`: the table of the model and the command line (table.mjs). `npm run bench -- page`: how long what the user
// waits for takes in a real browser and at the server; figures are printed, nothing is judged. Compare ratios within one run.
import { existsSync } from "node:fs";
import { chromium } from "playwright-core";
import { benchAnswers } from "./answers.mjs";
import { benchLab } from "./lab.mjs";
import { benchLots } from "./lots.mjs";
import { at } from "./mainThread.mjs";
import { benchMill } from "./mill.mjs";
import { benchPan } from "./pan.mjs";
import { serve } from "./served.mjs";
import { benchSlider } from "./slider.mjs";
import { benchTable } from "./table.mjs";

// `npm run bench -- lab`: a lab of 50,000 lots alone, on a file and, where FINEBAND_TEST_DATABASE_URL names a server, there.
if (process.argv[2] === "lab") {
  await benchLab(process.argv[3]);
  process.exit(0);
}

if (process.argv[2] !== "page") process.exit((await benchTable(process.argv.slice(2))) ? 0 : 1);

const served = await serve();
const path = process.env.BROWSER_PATH ?? ["/usr/bin/chromium", "/usr/bin/google-chrome"].find(existsSync);
const browser = await chromium.launch({
  ...(path === undefined ? {} : { executablePath: path }),
  args: ["--no-sandbox", "--disable-gpu"],
  env: { ...process.env, LANG: "en_US.UTF-8" },
});

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
  await first.goto(served.address);
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

served.stop();
await benchSlider(browser);
await benchPan(browser);
await browser.close();
await benchMill();
await benchLots();
await benchAnswers();
