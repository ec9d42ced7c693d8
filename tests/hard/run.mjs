// `npm run hard`: what takes too long for every test run, at its full size. The counts are printed.
// `npm run hard -- NAME`: one that may end the process it runs in, built and run beside: flips [count] [seed] [log] [demo] (prints as it goes),
// rows [count] [seed] [port] (the same of rows on PostgreSQL), postgres [restarts] [port], alarms [asks] [port], faults [count] [seed] (with a C compiler, on Linux); tls: a front that
// ends TLS before a server (with openssl); records: the
// published laboratory records in nine reshapings.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "vite";

const root = fileURLToPath(new URL("../..", import.meta.url));

function whole() {
  const { status } = spawnSync(
    join(root, "node_modules", ".bin", "vitest"),
    [
      "run",
      "--config",
      "tests/vitest.config.ts",
      "tests/hard",
      "tests/pack",
      "tests/api/intake",
      "tests/api/commands/guide",
    ],
    { cwd: root, stdio: "inherit", env: { ...process.env, FINEBAND_HARD: "whole" } },
  );
  return status;
}

async function named(words) {
  // Within the checkout, so that the driver of the database is found.
  const folder = mkdtempSync(join(root, ".cache", "hard-"));
  try {
    await build({
      configFile: false,
      root,
      logLevel: "warn",
      ssr: { noExternal: true, external: ["libsql", "pg"] },
      build: { ssr: join(root, "tests/hard/long.ts"), outDir: folder, emptyOutDir: false, target: "node20" },
    });
    const { status } = spawnSync(process.execPath, [join(folder, "long.js"), ...words], {
      stdio: "inherit",
      env: {
        ...process.env,
        FINEBAND_CHECK_DATA: process.env.FINEBAND_CHECK_DATA ?? join(root, "../shared/data"),
        FINEBAND_SAMPLES: join(root, "distributions/samples"),
        FINEBAND_MAIN: join(root, "api/dist/main.js"),
        FINEBAND_FAILING: join(root, "tests/hard/failing.c"),
      },
    });
    return status;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const words = process.argv.slice(2);
process.exitCode = (words.length === 0 ? whole() : await named(words)) ?? 1;
