import { existsSync } from "node:fs";
import { resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, test } from "vitest";

const folder = resolve(
  process.env["FINEBAND_CHECK_DATA"] ?? fileURLToPath(new URL("../../shared/data", import.meta.url)),
);

/**
 * Checks against published files that are read where they lie and never copied in.
 * Without them the tests are counted as "not run", by name.
 *
 * @param relativePath  below FINEBAND_CHECK_DATA (default ../shared/data beside the checkout)
 */
export function describeWithData(title: string, relativePath: string, tests: (path: string) => void): void {
  const path = resolve(folder, relativePath);
  if (existsSync(path)) describe(title, () => tests(path));
  else describe.skip(title, () => test(`needs ${relativePath}`, () => {}));
}
