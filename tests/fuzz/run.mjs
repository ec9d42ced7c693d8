// `npm run fuzz`: 20,000 hostile tables, 5,000 random layouts and 100,000 damaged tables through the reader, in a process
// of its own so that its memory can be measured. `npm run fuzz -- 500 10000 2000` runs fewer: layouts, damaged, hostile.
// `npm run fuzz -- api [100000] [seed]`: mutated calls of every operation of the API, each answer held to its document.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "vite";

const root = fileURLToPath(new URL("../..", import.meta.url));
if (process.argv[2] === "api") {
  const { status } = spawnSync(
    join(root, "node_modules", ".bin", "vitest"),
    ["run", "--config", "tests/vitest.config.ts", "tests/fuzz/api"],
    {
      cwd: root,
      stdio: "inherit",
      env: {
        ...process.env,
        FINEBAND_CALLS: process.argv[3] ?? "100000",
        FINEBAND_SEED: process.argv[4] ?? "1",
      },
    },
  );
  process.exit(status ?? 1);
}

const folder = mkdtempSync(join(tmpdir(), "fineband-fuzz-"));
try {
  await build({
    configFile: false,
    root,
    logLevel: "warn",
    ssr: { noExternal: true },
    build: { ssr: join(root, "tests/fuzz/long.ts"), outDir: folder, emptyOutDir: false, target: "node20" },
  });
  // A small heap is swept early, so that garbage not yet swept is not taken for memory that reading needs.
  const { status } = spawnSync(
    process.execPath,
    [
      "--max-semi-space-size=8",
      "--max-old-space-size=128",
      join(folder, "long.js"),
      ...process.argv.slice(2),
    ],
    { stdio: "inherit" },
  );
  process.exitCode = status ?? 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
