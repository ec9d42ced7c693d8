import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";

const source = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** What axe finds wrong with a page, of whatever weight: a rule and the elements that break it. */
export async function violations(page: Page): Promise<{ rule: string; elements: string[] }[]> {
  await page.evaluate(source);
  return page.evaluate(
    "axe.run().then((r) => r.violations.map((v) => ({ rule: v.id, elements: v.nodes.map((n) => n.html) })))",
  );
}
