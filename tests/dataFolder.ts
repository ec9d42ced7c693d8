import { existsSync } from "node:fs";
import { resolve } from "node:path";
import { fileURLToPath } from "node:url";

const folder = resolve(
  process.env["FINEBAND_CHECK_DATA"] ?? fileURLToPath(new URL("../../shared/data", import.meta.url)),
);

/**
 * Where a published file lies that is read in place and never copied in; null where it is not on this machine.
 *
 * @param relativePath  below FINEBAND_CHECK_DATA (default ../shared/data beside the checkout)
 */
export function checkDataPath(relativePath: string): string | null {
  const path = resolve(folder, relativePath);
  return existsSync(path) ? path : null;
}
