// One copy of the tree, one warm test runner: puts a change into a file, runs the tests named, takes it out again.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { BaseSequencer, createVitest } from "vitest/node";

const root = process.argv[2];
let wanted = [];

class NearestFirst extends BaseSequencer {
  sort(files) {
    const place = ({ moduleId }) => wanted.findIndex((test) => moduleId.endsWith(test));
    return [...files].sort((a, b) => place(a) - place(b));
  }
}

const vitest = await createVitest(
  "test",
  {
    root,
    config: join(root, "tests/vitest.config.ts"),
    watch: false,
    bail: 1,
    cache: false,
    reporters: [{}],
    pool: "threads",
    isolate: false,
    fileParallelism: false,
    sequence: { sequencer: NearestFirst },
    setupFiles: [join(root, "tests/mutation/sameChances.mjs")],
    // What is built holds no change.
    testNamePattern: /^(?!.*\bbuilt\b)/,
  },
  { cacheDir: join(root, ".vite") },
);
const all = await vitest.globTestSpecifications();

/** Which test failed, or null; and how long each file took. */
async function failing(tests) {
  wanted = tests;
  const specifications = all.filter(({ moduleId }) => tests.some((test) => moduleId.endsWith(`/${test}`)));
  const { testModules, unhandledErrors } = await vitest.runTestSpecifications(specifications, false);
  const msOf = Object.fromEntries(
    testModules.map((module) => [module.relativeModuleId, module.diagnostic().duration]),
  );
  return { by: firstFault(testModules, unhandledErrors), msOf };
}

function firstFault(testModules, unhandledErrors) {
  for (const module of testModules) {
    if (module.errors().length > 0) return `${module.relativeModuleId}: ${module.errors()[0].message}`;
    for (const test of module.children.allTests("failed")) return test.fullName;
  }
  return unhandledErrors.length > 0 ? String(unhandledErrors[0]) : null;
}

process.on("message", async ({ path, code, changed, tests }) => {
  const file = join(root, path);
  writeFileSync(file, changed);
  vitest.invalidateFile(file);
  const answer = await failing(tests);
  writeFileSync(file, code);
  vitest.invalidateFile(file);
  process.send(answer);
});
process.on("disconnect", () => process.exit());
process.send({ ready: true });
