// `npm run check`: the quick look at what differs from the last commit, in under 30 s of the processor: types of the
// folders it can reach, lint, walls, dead code, and of the tests that import it the nearest, as many as fit.
// `npm run check -- --all` is all of `npm test` but the browser.
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { testsByFile } from "./mutation/importers.mjs";
import { deadCode, lint, parts, root, tests, types } from "./steps.mjs";

if (process.argv.includes("--all")) {
  const run = (path, argument) =>
    spawnSync(process.execPath, [join(root, path), ...argument], { stdio: "inherit" }).status ?? 1;
  process.exit(run("api/prepare.mjs", []) || run("tests/run.mjs", ["--without-browser"]));
}

const maxTestSeconds = 4;
/** Of a test file that was never run here. */
const unknownSeconds = 1;

const git = (...args) =>
  execFileSync("git", args, { cwd: root, encoding: "utf8" })
    .split("\0")
    .filter((path) => path !== "");
const touched = [
  ...new Set([
    ...git("diff", "--name-only", "-z", "HEAD"),
    ...git("ls-files", "--others", "--exclude-standard", "-z"),
  ]),
];
if (touched.length === 0) {
  console.log("Nothing differs from the last commit. `npm run check -- --all` looks at everything.");
  process.exit(0);
}
const sources = touched.filter((path) => /\.tsx?$/.test(path));
const standing = touched.filter((path) => existsSync(join(root, path)));

/** Each touched folder under its own rules, then everything at once: `tests` sees all that takes from it. */
function touchedParts() {
  const own = new Set(sources.map((path) => path.split("/")[0]));
  return own.size === 0 ? [] : parts.filter((part) => own.has(part) || part === "tests");
}

/** Nearest first, until their usual time is used up; a test that was itself changed always. */
function relatedTests() {
  const usedPath = join(root, ".cache", "testSeconds.json");
  const used = existsSync(usedPath) ? JSON.parse(readFileSync(usedPath, "utf8")) : {};
  const farOf = new Map();
  const importers = testsByFile(root);
  for (const path of sources)
    for (const { test, far } of importers.get(path) ?? [])
      farOf.set(test, Math.min(far, farOf.get(test) ?? Number.POSITIVE_INFINITY));
  // The walls have a step of their own; what is killed and started again looks at the last build.
  for (const test of farOf.keys()) if (/^tests\/(hard\/|imports\.)/.test(test)) farOf.delete(test);
  const secondsOf = (test) => used[test] ?? unknownSeconds;
  const nearest = [...farOf].sort(([a, near], [b, far]) => near - far || secondsOf(a) - secondsOf(b));
  let sum = 0;
  const taken = nearest
    .filter(([test, far]) => {
      const fits = far === 0 || sum + secondsOf(test) <= maxTestSeconds;
      if (fits) sum += secondsOf(test);
      return fits;
    })
    .map(([test]) => test);
  return { taken, among: nearest.length };
}

const { taken, among } = relatedTests();
const results = [
  ...touchedParts().map((part) => types(part)),
  lint(standing),
  deadCode(),
  // What is built is older than the sources.
  tests(["--testNamePattern", "^(?!.*\\b(built|under a frame)\\b)", "tests/imports.test.ts", ...taken]),
];
const failed = results.filter((ok) => !ok).length;
console.log(
  `\n${touched.length} files touched; the nearest ${taken.length} of ${among} test files that import them were run.`,
);
console.log(failed === 0 ? "check: well" : `check: ${failed} of ${results.length} steps failed`);
process.exit(failed === 0 ? 0 : 1);
