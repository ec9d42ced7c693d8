// Everything `npm test` promises, in order: types, lint, dead code, then all tests.
// The last line is `N passed, N failed`; the one before says what was not run and why.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "fineband-test-"));
const report = join(folder, "report.json");
let passed = 0;
let failed = 0;

// Tests of the store run on PostgreSQL too when a server is named. The servers that tests start keep their own files,
// so they must not see a lab's address.
const { DATABASE_URL: databaseUrl, ...environment } = process.env;
if (databaseUrl !== undefined) environment.FINEBAND_TEST_DATABASE_URL ??= databaseUrl;

function step(name, command, args) {
  console.log(`\n— ${name}`);
  const { status } = spawnSync(join(root, "node_modules", ".bin", command), args, {
    cwd: root,
    stdio: "inherit",
    env: { ...environment, FINEBAND_TEST_REPORT: report, LANG: "en_US.UTF-8" },
  });
  return status === 0;
}

function count(ok) {
  if (ok) passed++;
  else failed++;
}

// With -b, since the folders named kernels/ are a part of their own (tsconfig.kernels.json) that the others build on.
for (const part of ["distributions", "model", "api", "ui", "tests"])
  count(step(`types: ${part}`, "tsc", ["-b", part]));
count(step("lint and format", "biome", ["check", "--config-path=.biome.json", "."]));
count(step("dead code", "knip", []));

const testsOk = step("tests", "vitest", ["run", "--config", "tests/vitest.config.ts"]);
let notRun = [];
try {
  const counts = JSON.parse(readFileSync(report, "utf8"));
  passed += counts.passed;
  failed += counts.failed;
  notRun = counts.notRun;
  if (!testsOk && counts.failed === 0) failed++;
} catch {
  failed++;
}
rmSync(folder, { recursive: true });

for (const name of notRun) console.log(`not run: ${name}`);
console.log(
  `${notRun.length} not run${notRun.length > 0 ? " (what they need is not on this machine: FINEBAND_CHECK_DATA names the folder of published data, FINEBAND_TEST_DATABASE_URL a PostgreSQL server)" : ""}`,
);
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed > 0 || passed === 0 ? 1 : 0);
