import { writeFileSync } from "node:fs";
import type { Reporter, TestModule } from "vitest/node";

/** Counts for `tests/run.mjs`: vitest itself prints no line that a build server can count. */
export default class CountingReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const report = process.env["FINEBAND_TEST_REPORT"];
    if (report === undefined) return;
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
    writeFileSync(report, JSON.stringify({ passed, failed, notRun }));
  }
}
