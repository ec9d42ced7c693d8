import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { fileURLToPath } from "node:url";
import type { Reporter, TestModule } from "vitest/node";

/** A new test file, or a slice of something long, stays below. */
const maxSeconds = 5;
const secondsFile = fileURLToPath(new URL("../.cache/testSeconds.json", import.meta.url));

/**
 * Counts for `tests/run.mjs`, since vitest itself prints no line that a build server can count; and says which files
 * take long, by the processor. `tests/check.mjs` chooses by what was last seen of each.
 */
export default class CountingReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    tellTime(modules);
    const report = process.env["FINEBAND_TEST_REPORT"];
    if (report !== undefined) writeFileSync(report, JSON.stringify(countsOf(modules)));
  }
}

function countsOf(modules: readonly TestModule[]) {
  let passed = 0;
  let failed = 0;
  const notRun: string[] = [];
  for (const module of modules) {
    if (module.state() === "failed" && module.errors().length > 0) failed++;
    for (const test of module.children.allTests()) {
      const state = test.result().state;
      if (state === "passed") passed++;
      else if (state === "failed") failed++;
      else notRun.push(test.fullName);
    }
  }
  return { passed, failed, notRun };
}

function tellTime(modules: readonly TestModule[]): void {
  const before: unknown = existsSync(secondsFile) ? JSON.parse(readFileSync(secondsFile, "utf8")) : {};
  const used = modules.flatMap((module) => {
    const { usedSeconds } = module.meta();
    return usedSeconds === undefined ? [] : [[module.relativeModuleId, usedSeconds] as const];
  });
  mkdirSync(dirname(secondsFile), { recursive: true });
  writeFileSync(secondsFile, JSON.stringify(Object.assign({}, before, Object.fromEntries(used)), null, 1));
  const long = used.filter(([, seconds]) => seconds > maxSeconds).sort(([, a], [, b]) => b - a);
  if (long.length === 0) return;
  console.log(`\nMore than ${maxSeconds} s of the processor each:`);
  for (const [path, seconds] of long) console.log(`  ${seconds.toFixed(1)} s  ${path}`);
}
