// `npm run hard`: what takes too long for every test run, at its full size. The counts are printed.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));
const { status } = spawnSync(
  join(root, "node_modules", ".bin", "vitest"),
  ["run", "--config", "tests/vitest.config.ts", "tests/hard"],
  { cwd: root, stdio: "inherit", env: { ...process.env, FINEBAND_HARD: "whole" } },
);
process.exit(status ?? 1);
