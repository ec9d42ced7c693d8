import { rmSync } from "node:fs";
import type { Browser, Page } from "playwright-core";
import { copyOfBegun } from "../hard/begun.ts";
import { startServer } from "../hard/server.ts";
import { launchBrowser } from "./browser.ts";

/** One browser serves all files of a process; each page has a context of its own, and the browser ends with the process. */
let started: Promise<Browser> | undefined;

/** The built server on a store with the demo as it begins, and a browser to look at it. */
export async function serve() {
  const folder = await copyOfBegun("browser");
  const server = await startServer(folder);
  const address = `${server.address}/`;
  started ??= launchBrowser();
  const browser = await started;
  return {
    async open(
      place: string,
      width = 1200,
      colorScheme: "light" | "dark" = "light",
      before: (page: Page) => Promise<void> = async () => {},
    ): Promise<{ page: Page; faults: string[] }> {
      const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
      const faults: string[] = [];
      page.on("pageerror", (fault) => faults.push(fault.message));
      await before(page);
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
      await server.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
