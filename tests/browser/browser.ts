import { existsSync } from "node:fs";
import { type Browser, chromium } from "playwright-core";

const quiet = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

const installed = [
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/usr/bin/microsoft-edge",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
];

/** A real browser: BROWSER_PATH, else one that is installed, else the one inside an npm package (Linux x64). */
export async function launchBrowser(): Promise<Browser> {
  const path = process.env["BROWSER_PATH"] ?? installed.find((candidate) => existsSync(candidate));
  const env = { ...process.env, LANG: "en_US.UTF-8" };
  if (path !== undefined) return chromium.launch({ executablePath: path, args: quiet, env });
  try {
    const bundled = await import("@sparticuz/chromium");
    return await chromium.launch({
      executablePath: await bundled.default.executablePath(),
      args: [...bundled.default.args, ...quiet],
      env,
    });
  } catch (fault) {
    throw new Error(
      `No browser was found for the browser tests. Install Chromium, Chrome or Edge, or set BROWSER_PATH to one. (${fault instanceof Error ? fault.message : fault})`,
    );
  }
}
