// One copy of the tree, one warm test runner: changes files, runs the tests named, takes the changes out again.
// Says as it goes how much of the processor it has used: a machine that is busy with other things is no fault.
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { createVitest } from "vitest/node";

const root = process.argv[2];
mkdirSync(join(root, ".reached"), { recursive: true });

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
    setupFiles: [fileURLToPath(new URL("./setup.mjs", import.meta.url))],
    env: { MARKED_ROOT: root },
    // What is built holds no change, and a machine that is busy is no fault.
    testNamePattern: /^(?!.*\b(built|under a frame)\b)/,
    testTimeout: 3_600_000,
    hookTimeout: 3_600_000,
  },
  { cacheDir: join(root, ".vite") },
);
const all = await vitest.globTestSpecifications();

function usedMs() {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** The first test of the group that fails, or null. Of a file with `only`, these tests alone are run. */
async function faultIn(tests) {
  const onlyOf = new Map(tests.map(({ path, only }) => [join(root, path).replaceAll("\\", "/"), only]));
  const ids = new Set(onlyOf.keys());
  const specifications = all
    .filter(({ moduleId }) => ids.has(moduleId))
    .map((whole) => {
      const testIds = onlyOf.get(whole.moduleId);
      return testIds ? whole.project.createSpecification(whole.moduleId, { testIds }) : whole;
    });
  const { testModules, unhandledErrors } = await vitest.runTestSpecifications(specifications, false);
  // The runner also hands back what it remembers of files run before.
  const modules = testModules.filter(({ moduleId }) => ids.has(moduleId));
  const fault = modules.map(faultOf).find((each) => each !== null) ?? unhandledErrors[0]?.message ?? null;
  if (modules.length < tests.length) throw new Error(`not all ran of ${[...ids].join(", ")}`);
  return fault;
}

function faultOf(module) {
  for (const error of module.errors()) return `${module.relativeModuleId}: ${error.message}`;
  for (const test of module.children.allTests("failed")) return test.fullName;
  return null;
}

function put(files, key) {
  for (const file of files) {
    const path = join(root, file.path);
    writeFileSync(path, file[key]);
    vitest.invalidateFile(path);
  }
}

/** Groups run one after the other: each worker thread imports anew, and the first fault ends it. */
process.on("message", async ({ files, groups }) => {
  put(files, "changed");
  const usedMsOf = [];
  let by = null;
  for (const tests of groups) {
    const before = usedMs();
    process.send({ group: usedMsOf.length, usedMs: before });
    by = await faultIn(tests);
    usedMsOf.push(usedMs() - before);
    if (by !== null) break;
  }
  put(files, "code");
  process.send({ by, usedMsOf });
});
process.on("disconnect", () => process.exit());
setInterval(() => process.send({ usedMs: usedMs() }), 1000).unref();
process.send({ ready: true });
