// One copy of the tree, one warm test runner: puts a change into a file, runs the tests named, takes it out again.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { createVitest } from "vitest/node";

const root = process.argv[2];

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
    setupFiles: [fileURLToPath(new URL("./sameChances.mjs", import.meta.url))],
    // What is built holds no change, and a machine that is busy is no fault.
    testNamePattern: /^(?!.*\b(built|under a frame)\b)/,
    testTimeout: 300_000,
  },
  { cacheDir: join(root, ".vite") },
);
const all = await vitest.globTestSpecifications();

/** Each worker thread imports anew: the first few files by themselves, since most changes end there, the rest at once. */
function inGroups(tests) {
  const alone = 3;
  const rest = tests.slice(alone);
  return [...tests.slice(0, alone).map((test) => [test]), ...(rest.length > 0 ? [rest] : [])];
}

/** The first test that fails, or null; and how long each file took. */
async function outcomeOf(tests) {
  const msOf = {};
  for (const group of inGroups(tests)) {
    const ids = new Map(group.map((test) => [join(root, test).replaceAll("\\", "/"), test]));
    const specifications = all.filter(({ moduleId }) => ids.has(moduleId));
    const { testModules, unhandledErrors } = await vitest.runTestSpecifications(specifications, false);
    // The runner also hands back what it remembers of files run before.
    const modules = testModules.filter(({ moduleId }) => ids.has(moduleId));
    for (const module of modules) msOf[ids.get(module.moduleId)] = module.diagnostic().duration;
    const by = modules.map(faultOf).find((fault) => fault !== null) ?? unhandledErrors[0]?.message ?? null;
    if (modules.length < group.length) throw new Error(`not all ran of ${group.join(", ")}`);
    if (by !== null) return { by, msOf };
  }
  return { by: null, msOf };
}

function faultOf(module) {
  for (const error of module.errors()) return `${module.relativeModuleId}: ${error.message}`;
  for (const test of module.children.allTests("failed")) return test.fullName;
  return null;
}

process.on("message", async ({ path, code, changed, tests }) => {
  const file = join(root, path);
  writeFileSync(file, changed);
  vitest.invalidateFile(file);
  const answer = await outcomeOf(tests);
  writeFileSync(file, code);
  vitest.invalidateFile(file);
  process.send(answer);
});
process.on("disconnect", () => process.exit());
process.send({ ready: true });
