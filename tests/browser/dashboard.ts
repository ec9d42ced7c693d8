import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Page } from "playwright-core";
import { launchBrowser } from "./browser.ts";

/** The built dashboard with the demo scenario in a folder of its own, and a browser to look at it. */
export interface Dashboard {
  /** Opens a place and waits for its answer; what the page throws is gathered in faults. */
  open(
    place: string,
    options?: { width?: number; dark?: boolean },
  ): Promise<{ page: Page; faults: string[] }>;
  stop(): Promise<void>;
}

export async function startDashboard(): Promise<Dashboard> {
  const root = fileURLToPath(new URL("../..", import.meta.url));
  const folder = mkdtempSync(join(tmpdir(), "fineband-browser-"));
  const server = spawn(process.execPath, [join(root, "api/dist/main.js")], {
    env: { ...process.env, PORT: "0", FINEBAND_DATA: folder },
  });
  const address = await new Promise<string>((resolve, reject) => {
    let said = "";
    server.stdout?.on("data", (data) => {
      said += String(data);
      const found = /Fineband is at (\S+)/.exec(said);
      if (found?.[1] !== undefined) resolve(found[1]);
    });
    server.on("exit", () => reject(new Error(`the server stopped: ${said}`)));
  });
  const browser = await launchBrowser();
  return {
    async open(place, options = {}) {
      const page = await browser.newPage({
        viewport: { width: options.width ?? 1200, height: 900 },
        colorScheme: options.dark ? "dark" : "light",
      });
      const faults: string[] = [];
      page.on("pageerror", (fault) => faults.push(fault.message));
      await page.goto(`${address}${place}`);
      await page.locator("h1").waitFor();
      return { page, faults };
    },
    async stop() {
      await browser.close();
      server.kill();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
