// `npm run mutate`: would the tests notice a wrong sign, bound, constant or condition?
// Changes a seeded sample of them in distributions/ and model/, one at a time, each in a copy of the tree under the
// temporary folder, and runs the tests that import the changed file. The checkout itself is never written to.
// `npm run mutate -- --seed 2 --count 100 --only model/fit` takes another sample, a smaller one, some files.
import { fork } from "node:child_process";
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { testsByFile } from "./importers.mjs";
import { mutantsOf } from "./mutants.mjs";
import { reasonFor } from "./survivors.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const { values: asked } = parseArgs({
  options: {
    seed: { type: "string", default: "1" },
    count: { type: "string", default: "400" },
    only: { type: "string", default: "" },
  },
});
const wantedShare = 0.85;
const copies = 2;

/** The same seed always gives the same numbers. */
function chanceFrom(seed) {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function sampleOf(list, count, seed) {
  const chance = chanceFrom(seed);
  const rest = [...list];
  const taken = [];
  while (taken.length < count && rest.length > 0)
    taken.push(...rest.splice(Math.floor(chance() * rest.length), 1));
  return taken;
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
const tests = testsByFile(root);

const folder = mkdtempSync(join(tmpdir(), "fineband-mutate-"));
const running = new Set();
function clear() {
  for (const child of running) child.kill("SIGKILL");
  rmSync(folder, { recursive: true, force: true });
}
for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"])
  process.on(signal, () => {
    clear();
    console.error(`stopped by ${signal} after ${done} of ${sample.length}; nothing was left behind`);
    process.exit(130);
  });

function copyOfTree(name) {
  const copy = join(folder, name);
  const leftOut = /^(node_modules|\.git|api\/data)$/;
  cpSync(root, copy, {
    recursive: true,
    filter: (path) => !leftOut.test(path.slice(root.length).replaceAll("\\", "/")),
  });
  symlinkSync(join(root, "node_modules"), join(copy, "node_modules"), "junction");
  return copy;
}

function startWorker(copy) {
  const child = fork(fileURLToPath(new URL("./worker.mjs", import.meta.url)), [copy], {
    cwd: copy,
    stdio: ["ignore", "ignore", "ignore", "ipc"],
    execArgv: ["--max-old-space-size=2048"],
    env: {
      ...process.env,
      FINEBAND_CHECK_DATA: process.env.FINEBAND_CHECK_DATA ?? resolve(root, "../shared/data"),
    },
  });
  running.add(child);
  child.on("exit", () => running.delete(child));
  return child;
}

/** Its next message; null if it ended instead, or said nothing in time. */
function answerOf(child, withinMs) {
  return new Promise((done) => {
    const finish = (answer) => {
      clearTimeout(timer);
      child.off("message", finish);
      child.off("exit", gone);
      done(answer);
    };
    const gone = () => finish(null);
    const timer = setTimeout(gone, withinMs);
    child.on("message", finish);
    child.on("exit", gone);
  });
}

const queue = [...sample];
const survivors = [];
let done = 0;

/** Without a change every test must pass, before the first change and after the last was taken out. */
async function passesUnchanged(child) {
  const path = files[0];
  const code = codeOf.get(path);
  const all = [...new Set([...tests.values()].flat().map(({ test }) => test))];
  child.send({ path, code, changed: code, tests: all });
  const answer = await answerOf(child, 900_000);
  if (answer?.by !== null) throw new Error(`without any change a test fails: ${answer?.by ?? "no end"}`);
  return answer.msOf;
}

/** Near and quick tests first: most changes are caught by the first few. */
function inOrder(list, msOf) {
  const cost = ({ test, far }) => far * (200 + (msOf[test] ?? 0));
  return [...list].sort((a, b) => cost(a) - cost(b) || a.test.localeCompare(b.test)).map(({ test }) => test);
}

function tell({ path, line, column, found, text, lineText, reason }) {
  console.log(`${path}:${line}:${column + 1}  ${found} → ${text}`);
  console.log(`    ${lineText}`);
  console.log(`    ${reason ?? "no test notices, and tests/mutation/survivors.md gives no reason"}`);
}

async function work(name) {
  const copy = copyOfTree(name);
  let child = null;
  let msOf = null;
  for (let mutant = queue.shift(); mutant !== undefined; mutant = queue.shift()) {
    const { path, start, end, text } = mutant;
    const code = codeOf.get(path);
    // A change on the reviewed list is known not to be caught.
    const mine = mutant.reason === null ? (tests.get(path) ?? []) : [];
    if (mine.length > 0 && child === null) {
      child = startWorker(copy);
      if ((await answerOf(child, 300_000)) === null) throw new Error("the test runner did not start");
      msOf ??= await passesUnchanged(child);
    }
    let isCaught = false;
    if (mine.length > 0) {
      const usualMs = mine.reduce((sum, { test }) => sum + (msOf[test] ?? 0), 0);
      const changed = code.slice(0, start) + text + code.slice(end);
      child.send({ path, code, changed, tests: inOrder(mine, msOf) });
      const answer = await answerOf(child, 20_000 + 4 * usualMs);
      isCaught = answer === null || answer.by !== null;
      if (answer === null) {
        child.kill("SIGKILL");
        child = null;
        writeFileSync(join(copy, path), code);
      }
    }
    done++;
    if (!isCaught) {
      survivors.push(mutant);
      tell(mutant);
    }
    if (process.stderr.isTTY) process.stderr.write(`${done}/${sample.length}\r`);
    else if (done % 25 === 0) process.stderr.write(`${done - survivors.length}/${done} caught so far\n`);
  }
  if (child !== null) await passesUnchanged(child);
  child?.disconnect();
}

const begun = Date.now();
try {
  await Promise.all(Array.from({ length: copies }, (_, i) => work(`copy-${i + 1}`)));
} finally {
  clear();
}
const minutes = (Date.now() - begun) / 60_000;

const open = survivors.filter(({ reason }) => reason === null);
const caught = sample.length - survivors.length;
const share = sample.length === 0 ? 1 : caught / sample.length;
console.log(
  `${caught}/${sample.length} caught (${(100 * share).toFixed(1)} %) of ${mutants.length} possible changes, seed ${asked.seed}, in ${minutes.toFixed(1)} min; ${survivors.length} not caught, ${open.length} of them without a reason`,
);
process.exit(share < wantedShare ? 1 : 0);
