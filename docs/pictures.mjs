// Makes the pictures of README and docs from the demo scenario: `node docs/pictures.mjs`, after `npm start` has built once.
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const root = fileURLToPath(new URL("..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "fineband-pictures-"));
const server = spawn(process.execPath, [join(root, "api/dist/main.js")], {
  env: { ...process.env, PORT: "0", FINEBAND_DATA: folder },
});
const address = await new Promise((resolve) =>
  server.stdout.on("data", (d) => /at (\S+)/.exec(String(d)) && resolve(/at (\S+)/.exec(String(d))[1])),
);
const path = process.env.BROWSER_PATH ?? ["/usr/bin/chromium", "/usr/bin/google-chrome"].find(existsSync);
const browser = await chromium.launch({
  ...(path === undefined ? {} : { executablePath: path }),
  args: ["--no-sandbox"],
  env: { ...process.env, LANG: "en_US.UTF-8" },
});
const page = await browser.newPage({ viewport: { width: 1160, height: 800 } });
await page.goto(`${address}#/lot?lot=2`);
await page.locator("canvas").first().waitFor();
// The picture is of a page that has said all it has to say.
await page.locator(".limits > li", { hasText: /^Predicted BET0/ }).waitFor();
await page.getByText(/is being calculated|^Calculating/).waitFor({ state: "detached" });
await page.locator("[data-size-shift]").waitFor();
await page.waitForTimeout(300);
await page.screenshot({ path: join(root, "docs", "lot.png") });
await browser.close();
server.kill();
rmSync(folder, { recursive: true, force: true });
