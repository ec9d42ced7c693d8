// What `npm start`, `npm test` and `npm run fineband` need before they can begin: the right Node,
// the packages of the lock file, a build of the present sources. Quick when nothing changed.
// `node api/prepare.mjs packages` leaves the build out, for what runs the sources themselves.
// Speaks on standard error only, since a command's answer goes to standard output.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const say = (text) => process.stderr.write(`${text}\n`);

const [major = 0, minor = 0] = process.versions.node.split(".").map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  say(
    `Fineband needs Node 20.19 or later; this is ${process.versions.node}. Install a newer Node and try again.`,
  );
  process.exit(3);
}

function isRunning(pid) {
  try {
    process.kill(pid, 0);
    return true;
  } catch (fault) {
    return fault.code === "EPERM";
  }
}

/** The process that holds the lock; 0 when it was let go this moment. */
function ownerOf(lock) {
  try {
    return Number(readFileSync(lock, "utf8"));
  } catch {
    return 0;
  }
}

/** Runs one at a time: a second process waits for the first one's work instead of doing it again. */
function alone(work) {
  const lock = join(
    tmpdir(),
    `fineband-${createHash("sha256").update(root).digest("hex").slice(0, 16)}.lock`,
  );
  const patience = Date.now() + 15 * 60_000;
  for (let isFirstTry = true; ; isFirstTry = false) {
    try {
      writeFileSync(lock, String(process.pid), { flag: "wx" });
      break;
    } catch (fault) {
      if (fault.code !== "EEXIST") throw fault;
    }
    const owner = ownerOf(lock);
    // A set-up that was stopped half-way leaves its lock behind.
    if (owner > 0 && !isRunning(owner)) rmSync(lock, { force: true });
    else if (Date.now() > patience)
      throw new Error(`another set-up (process ${owner}) has not ended; its lock is ${lock}`);
    else {
      if (isFirstTry) say("Waiting for another set-up to end …");
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 200);
    }
  }
  try {
    work();
  } finally {
    rmSync(lock, { force: true });
  }
}

function hashOf(paths) {
  const hash = createHash("sha256");
  for (const path of paths) hash.update(path).update(readFileSync(join(root, path)));
  return hash.digest("hex");
}

function sourcesIn(folder) {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    // What is built, and what the server keeps; ui/data is source.
    if (entry.isDirectory())
      return entry.name === "dist" || path === join("api", "data") ? [] : sourcesIn(path);
    return /\.(ts|tsx|css|html|json|svg)$/.test(entry.name) ? [path] : [];
  });
}

const isStamped = (stamp, value) => existsSync(stamp) && readFileSync(stamp, "utf8") === value;

function run(command, args) {
  const { status } = spawnSync(command, args, {
    cwd: root,
    stdio: ["ignore", 2, 2],
    shell: process.platform === "win32",
  });
  if (status !== 0) throw new Error(`"${command} ${args.join(" ")}" failed, its words are above`);
}

function step(what, stamp, value, work, made = []) {
  const isDone = () => isStamped(stamp, value) && made.every((path) => existsSync(join(root, path)));
  if (isDone()) return;
  alone(() => {
    if (isDone()) return;
    const begun = Date.now();
    say(`${what} …`);
    work();
    mkdirSync(dirname(stamp), { recursive: true });
    writeFileSync(stamp, value);
    say(`${what}: done in ${((Date.now() - begun) / 1000).toFixed(1)} s`);
  });
}

try {
  step(
    "Installing packages",
    join(root, "node_modules", ".fineband"),
    hashOf(["package.json", "package-lock.json"]),
    () => run("npm", ["ci", "--include=dev", "--no-fund", "--no-audit"]),
  );
  if (process.argv[2] === "packages") process.exit(0);
  const sources = [
    "package.json",
    "package-lock.json",
    // The page shows its formulas.
    "docs/science.md",
    ...["distributions", "model", "api", "ui"].flatMap(sourcesIn),
  ].sort();
  step(
    "Building",
    join(root, "api", "dist", ".fineband"),
    hashOf(sources),
    () => {
      const vite = join(root, "node_modules", "vite", "bin", "vite.js");
      run(process.execPath, [vite, "build", "--config", "api/vite.config.ts", "--logLevel", "warn"]);
      run(process.execPath, [vite, "build", "--config", "ui/vite.config.ts", "--logLevel", "warn"]);
    },
    ["api/dist/main.js", "api/dist/cli.js", "api/dist/worker.js", "ui/dist/index.html"],
  );
} catch (fault) {
  say(`Could not set up: ${fault.message}.`);
  process.exit(3);
}
