// `npm run mutate`: would the tests notice a wrong sign, bound, constant or condition?
// Changes a seeded sample of them in distributions/ and model/, one at a time, each in a copy of the tree under the
// temporary folder, and runs the tests that import the changed file. The checkout itself is never written to.
// `npm run mutate -- --seed 2 --count 100 --only model/fit` takes another sample, a smaller one, some files; `--copies 1`
// leaves the other core to somebody else.
import { createHash } from "node:crypto";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { testsByFile } from "./importers.mjs";
import { marked } from "./marks.mjs";
import { mutantsOf } from "./mutants.mjs";
import { Runner } from "./runner.mjs";
import { reasonFor } from "./survivors.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const { values: asked } = parseArgs({
  options: {
    seed: { type: "string", default: "1" },
    count: { type: "string", default: "400" },
    only: { type: "string", default: "" },
    copies: { type: "string", default: "2" },
  },
});
const wantedShare = 0.85;

/**
 * The same seed takes the same changes, and goes on taking them while their lines stand: each has a number of its own, from
 * its file's name, its line's words and itself, and the lowest are taken. A file that moves to another room keeps them.
 */
function sampleOf(list, count, seed) {
  const seen = new Map();
  const numbered = list.map((mutant) => {
    const { path, lineText, found, text } = mutant;
    const words = [basename(path), lineText, found, text].join("\n");
    const nth = (seen.get(words) ?? 0) + 1;
    seen.set(words, nth);
    const number = createHash("sha256").update([seed, words, nth].join("\n")).digest("hex");
    return { mutant, number };
  });
  return numbered
    .sort((a, b) => (a.number < b.number ? -1 : 1))
    .slice(0, count)
    .map(({ mutant }) => mutant);
}

const files = ["distributions", "model"]
  .flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true }).map((path) => `${folder}/${path}`),
  )
  .map((path) => path.replaceAll("\\", "/"))
  .filter((path) => path.endsWith(".ts"))
  .sort();
const codeOf = new Map(files.map((path) => [path, readFileSync(join(root, path), "utf8")]));
const mutants = files
  .filter((path) => path.startsWith(asked.only))
  .flatMap((path) =>
    mutantsOf(path, codeOf.get(path)).map((mutant) => {
      const before = codeOf.get(path).slice(0, mutant.start);
      const line = before.split("\n").length;
      const from = before.lastIndexOf("\n") + 1;
      const place = {
        path,
        lineText: codeOf.get(path).slice(from).split("\n")[0].trim(),
        found: codeOf.get(path).slice(mutant.start, mutant.end).replace(/\s+/g, " "),
        text: mutant.text.replace(/\s+/g, " "),
      };
      return { ...place, ...mutant, line, column: mutant.start - from, reason: reasonFor(place) };
    }),
  );
const sample = sampleOf(mutants, Number(asked.count), Number(asked.seed));
// A change on the reviewed list is known not to be caught, and is not run.
const toRun = sample.filter(({ reason }) => reason === null);
const importers = testsByFile(root);

const folder = mkdtempSync(join(tmpdir(), "fineband-mutate-"));
const runners = [];
function clear() {
  for (const runner of runners) runner.stop();
  rmSync(folder, { recursive: true, force: true });
}
for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"])
  process.on(signal, () => {
    clear();
    console.error(`stopped by ${signal} after ${done} of ${sample.length}; nothing was left behind`);
    process.exit(130);
  });

const survivors = [];
let done = 0;
let unended = 0;

/** Takes from the list until it is empty. */
async function each(list, runner, task) {
  for (let next = list.shift(); next !== undefined; next = list.shift()) await task(next, runner);
}

const changedFiles = [...new Set(toRun.map(({ path }) => path))];
const marks = new Map();
const markedFiles = changedFiles.map((path) => {
  const ofFile = toRun.filter((mutant) => mutant.path === path);
  const positions = ofFile.map(({ start }) => start);
  const { code, marks: numbers } = marked(path, codeOf.get(path), positions, marks.size + 1);
  ofFile.forEach((mutant, i) => {
    marks.set(mutant, numbers[i]);
  });
  return { path, code: codeOf.get(path), changed: code };
});
const usualMsOf = new Map();

/** Without a change every test must pass, and says what it takes and which marks it came by. */
async function runUnchanged(test, runner) {
  const { by, usedMsOf } = await runner.outcomeOf(markedFiles, [
    { tests: [{ path: test }], usualMs: Number.POSITIVE_INFINITY },
  ]);
  if (by !== null) throw new Error(`without any change a test fails: ${by}`);
  usualMsOf.set(test, usedMsOf[0]);
}

/** Tests of these are independent of each other: the mathematics remembers nothing. */
const isPure = (test) => /^tests\/(distributions|model|laws|published|validate)\//.test(test);

/**
 * Whether the tests notice a change. Where tests that fail are a part of a file that may keep things between them, they
 * must pass without the change, else the whole file decides.
 */
async function noticed(change, groups, runner) {
  const found = await runner.outcomeOf([change], groups);
  const last = groups[(found.usedMsOf?.length ?? 0) - 1];
  const isPart = ({ path, only }) => only !== undefined && !isPure(path);
  if (found.by === null || last === undefined || !last.tests.some(isPart)) return found;
  const { by } = await runner.outcomeOf([], [last]);
  if (by === null) return found;
  const whole = groups.map((group) => ({ ...group, tests: group.tests.map(({ path }) => ({ path })) }));
  return runner.outcomeOf([change], whole);
}

/** What a file can do about a change: null if it never comes by, else its tests that do, and how long they take. */
function partOf({ test, far }, mark, reached) {
  const usualMs = usualMsOf.get(test);
  if (mark === null) return { path: test, far, usualMs, ms: usualMs };
  const { loading = [], tests = [] } = reached.get(test) ?? {};
  const part = tests.filter(({ marks }) => marks.includes(mark));
  if (loading.includes(mark)) return { path: test, far, usualMs, ms: usualMs };
  if (part.length === 0) return null;
  return {
    path: test,
    far,
    usualMs,
    only: part.map(({ id }) => id),
    ms: part.reduce((sum, { ms }) => sum + ms, 0),
  };
}

/** Near and quick tests first, since most changes are caught by the first few; the rest at once. */
function groupsFor(mutant, reached) {
  const cost = ({ far, ms }) => far * (500 + ms);
  const tests = (importers.get(mutant.path) ?? [])
    .map((each) => partOf(each, marks.get(mutant), reached))
    .filter((part) => part !== null)
    .sort((a, b) => cost(a) - cost(b) || a.path.localeCompare(b.path));
  const alone = 2;
  return [...tests.slice(0, alone).map((test) => [test]), tests.slice(alone)]
    .filter((group) => group.length > 0)
    .map((group) => ({ tests: group, usualMs: group.reduce((sum, { usualMs }) => sum + usualMs, 0) }));
}

function tell({ path, line, column, found, text, lineText, reason }, how) {
  console.log(`${path}:${line}:${column + 1}  ${found} → ${text}`);
  console.log(`    ${lineText}`);
  console.log(`    ${reason ?? `${how}, and tests/mutation/survivors.md gives no reason`}`);
}

async function runChanged(mutant, runner, reached) {
  const { path, start, end, text, reason } = mutant;
  const code = codeOf.get(path);
  const groups = reason === null ? groupsFor(mutant, reached) : [];
  const changed = code.slice(0, start) + text + code.slice(end);
  const { by, isUnended = false } =
    groups.length === 0 ? { by: null } : await noticed({ path, code, changed }, groups, runner);
  done++;
  if (isUnended) unended++;
  if (by === null) {
    survivors.push(mutant);
    tell(mutant, groups.length === 0 ? "no test comes by" : "no test notices");
  }
  if (process.stderr.isTTY) process.stderr.write(`${done}/${sample.length}\r`);
  else if (done % 25 === 0) process.stderr.write(`${done - survivors.length}/${done} caught so far\n`);
}

const begun = Date.now();
try {
  for (let i = 1; i <= Number(asked.copies); i++) runners.push(new Runner(root, join(folder, `${i}`)));
  const tests = [
    ...new Set(changedFiles.flatMap((path) => (importers.get(path) ?? []).map(({ test }) => test))),
  ];
  await Promise.all(runners.map((runner) => each(tests, runner, runUnchanged)));
  const reached = new Map(runners.flatMap((runner) => [...runner.reached()]));
  const queue = [...sample];
  await Promise.all(
    runners.map((runner) => each(queue, runner, (mutant) => runChanged(mutant, runner, reached))),
  );
} finally {
  clear();
}
const minutes = (Date.now() - begun) / 60_000;

const open = survivors.filter(({ reason }) => reason === null);
const caught = sample.length - survivors.length;
const share = sample.length === 0 ? 1 : caught / sample.length;
console.log(
  `${caught}/${sample.length} caught (${(100 * share).toFixed(1)} %), ${unended} of them because the tests no longer end; of ${mutants.length} possible changes, seed ${asked.seed}, in ${minutes.toFixed(1)} min; ${survivors.length} not caught, ${open.length} of them without a reason`,
);
process.exit(share < wantedShare ? 1 : 0);
