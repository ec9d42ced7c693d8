import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { launchBrowser } from "./browser.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** One browser serves all files of a process; each page has a context of its own, and the browser ends with the process. */
let started: Promise<Browser> | undefined;

/** The built server on a fresh store with the demo, and a browser to look at it. */
export async function serve() {
  const folder = mkdtempSync(join(tmpdir(), "fineband-browser-"));
  const server = spawn(process.execPath, [join(root, "api/dist/main.js")], {
    env: { ...process.env, PORT: "0", FINEBAND_DATA: folder },
  });
  const address = await new Promise<string>((resolve, reject) => {
    let said = "";
    server.stdout.on("data", (data) => {
      said += String(data);
      const found = /Fineband is at (\S+)/.exec(said);
      if (found?.[1] !== undefined) resolve(found[1]);
    });
    server.on("exit", () => reject(new Error(`the server stopped: ${said}`)));
  });
  started ??= launchBrowser();
  const browser = await started;
  return {
    async open(
      place: string,
      width = 1200,
      colorScheme: "light" | "dark" = "light",
    ): Promise<{ page: Page; faults: string[] }> {
      const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
      const faults: string[] = [];
      page.on("pageerror", (fault) => faults.push(fault.message));
      await page.goto(`${address}${place}`);
      await page.locator("h1").waitFor();
      return { page, faults };
    },
    /** A page that runs nothing of its own and would let nobody else's script look at it. */
    async openUnguarded(place: string): Promise<Page> {
      const page = await browser.newPage({ bypassCSP: true });
      await page.goto(new URL(place, address).href);
      return page;
    },
    async stop(): Promise<void> {
      await Promise.all(browser.contexts().map((context) => context.close()));
      server.kill();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
