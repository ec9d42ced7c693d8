import { describe, test } from "vitest";
import { checkDataPath } from "./dataFolder.ts";

/**
 * Checks against published files that are read where they lie and never copied in.
 * Without them the tests are counted as "not run", by name.
 *
 * @param relativePath  below FINEBAND_CHECK_DATA (default ../shared/data beside the checkout)
 */
export function describeWithData(title: string, relativePath: string, tests: (path: string) => void): void {
  const path = checkDataPath(relativePath);
  if (path !== null) describe(title, () => tests(path));
  else describe.skip(title, () => test(`needs ${relativePath}`, () => {}));
}
