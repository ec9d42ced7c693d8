import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

export default defineConfig({
  root: fileURLToPath(new URL("..", import.meta.url)),
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  test: {
    include: ["tests/**/*.test.ts", "tests/**/*.test.tsx"],
    // A limit for what hangs, not a measure of speed: shared machines run at a third of theirs at times.
    testTimeout: 90_000,
    hookTimeout: 90_000,
    maxWorkers: 2,
    // The modules under test keep nothing between files that another file would see (the mutation runs hold it too), and
    // loading them anew for each file took half of the processor's time.
    isolate: false,
    setupFiles: ["tests/usedTime.ts"],
    reporters: ["default", "./tests/reporter.ts"],
  },
});
