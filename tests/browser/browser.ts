import { existsSync } from "node:fs";
import { type Browser, chromium, type Page } from "playwright-core";

const quiet = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** Flags of the package that end the browser with its first page, or switch off rules a page must live under. */
const unwanted = [
  "--single-process",
  "--in-process-gpu",
  "--no-zygote",
  "--disable-web-security",
  "--allow-running-insecure-content",
];

const installed = [
  // Built for tests: no window, tabs or extensions that take processor time behind the page.
  "/usr/bin/chromium-headless-shell",
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/usr/bin/microsoft-edge",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
];

/**
 * A real browser: BROWSER_PATH, else one that is installed, else the one inside an npm package (Linux x64).
 * FINEBAND_BROWSER=bundled goes straight to the last.
 */
export async function launchBrowser(): Promise<Browser> {
  const isBundledWanted = process.env["FINEBAND_BROWSER"] === "bundled";
  const path = isBundledWanted
    ? undefined
    : (process.env["BROWSER_PATH"] ?? installed.find((candidate) => existsSync(candidate)));
  const locale = { LANG: "en_US.UTF-8" };
  if (path !== undefined)
    return chromium.launch({ executablePath: path, args: quiet, env: { ...process.env, ...locale } });
  try {
    // The package unpacks the system libraries it carries, and names them in LD_LIBRARY_PATH, only where
    // this word says so; a bare machine has none of its own. It must stand before the package is loaded.
    process.env["AWS_LAMBDA_JS_RUNTIME"] ??= "nodejs20.x";
    const bundled = await import("@sparticuz/chromium");
    return await chromium.launch({
      executablePath: await bundled.default.executablePath(),
      args: [...bundled.default.args.filter((flag) => !unwanted.includes(flag)), ...quiet],
      env: { ...process.env, ...locale },
    });
  } catch (fault) {
    throw new Error(
      `No browser was found for the browser tests. Install Chromium, Chrome or Edge, or set BROWSER_PATH to one. (${fault instanceof Error ? fault.message : fault})`,
    );
  }
}

/** Scrolls to what stands below the frame of a lot, which is fetched when one comes near it. */
export async function goBelow(page: Page): Promise<void> {
  const below = page.locator("[data-below]");
  await below.evaluate((place) => place.scrollIntoView());
  await below.getByRole("heading").first().waitFor();
}
