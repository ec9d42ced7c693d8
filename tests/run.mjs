// Everything `npm test` promises, in order: types, lint, dead code, then all tests.
// The last line is `N passed, N failed`; the one before says what was not run and why.
// `npm run check -- --all` comes here with `--without-browser`.
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { deadCode, lint, parts, tests, types } from "./steps.mjs";

const folder = mkdtempSync(join(tmpdir(), "fineband-test-"));
const report = join(folder, "report.json");
let passed = 0;
let failed = 0;

function count(ok) {
  if (ok) passed++;
  else failed++;
}

for (const part of parts) count(types(part));
count(lint(["."]));
count(deadCode());

const leftOut = process.argv.includes("--without-browser") ? ["--exclude", "tests/browser/**"] : [];
const testsOk = tests(leftOut, { FINEBAND_TEST_REPORT: report });
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
