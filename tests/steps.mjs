// The steps that `npm test` and `npm run check` are made of, each a program of node_modules with its words passed on.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = fileURLToPath(new URL("..", import.meta.url));

/** From the ground up: what stands further on takes from what stands before. */
export const parts = ["distributions", "model", "api", "ui", "tests"];

// Tests of the store run on PostgreSQL too when a server is named. The servers that tests start keep their own files,
// so they must not see a lab's address.
const { DATABASE_URL: databaseUrl, ...environment } = process.env;
if (databaseUrl !== undefined) environment.FINEBAND_TEST_DATABASE_URL ??= databaseUrl;

/** @returns {boolean} whether it went well */
function step(name, command, args, more = {}) {
  console.log(`\n— ${name}`);
  const { status } = spawnSync(join(root, "node_modules", ".bin", command), args, {
    cwd: root,
    stdio: "inherit",
    env: { ...environment, ...more, LANG: "en_US.UTF-8" },
  });
  return status === 0;
}

/** With -b, since the folders named kernels/ are a part of their own (model/tsconfig.kernels.json) that the others build on. */
export const types = (part) => step(`types: ${part}`, "tsc", ["-b", part]);

export const lint = (paths) =>
  step("lint and format", "biome", [
    "check",
    "--config-path=.biome.json",
    "--no-errors-on-unmatched",
    ...paths,
  ]);

export const deadCode = () => step("dead code", "knip", ["--cache", "--cache-location", ".cache/knip"]);

/** @param more  what the tests find in their environment */
export const tests = (args, more) =>
  step("tests", "vitest", ["run", "--config", "tests/vitest.config.ts", ...args], more);
