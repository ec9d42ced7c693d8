import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { homedir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { Accounts } from "./access/accounts.ts";
import type { World } from "./commands/command.ts";
import { placesOf } from "./places.ts";
import { version } from "./version.ts";

// npm changes the working folder; INIT_CWD is where the person stands.
const here = process.env["INIT_CWD"] ?? process.cwd();

const words = process.argv.slice(2);

// A reader that has seen enough closes the pipe: the answer is the same, and nobody is left to complain to.
process.stdout.on("error", (fault: NodeJS.ErrnoException) => {
  if (fault.code !== "EPIPE") throw fault;
});

// The build stands in api/dist, two steps below the top of the checkout or package.
const places = placesOf(fileURLToPath(new URL("../..", import.meta.url)), {
  environment: process.env,
  home: homedir(),
  platform: process.platform,
});
// Listened for only by what stops between two files; a second Ctrl+C ends it at once.
let isListening = false;
let isInterrupted = false;

const world: World = {
  readFile: (path) => readFileSync(resolve(here, path)),
  writeFile: (path, text) => writeFileSync(resolve(here, path), text),
  async writePieces(path, pieces) {
    const { writePieces } = await import("./commands/writing.ts");
    return writePieces(resolve(here, path), pieces);
  },
  filesIn(path) {
    const folder = resolve(here, path);
    if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() !== true) return null;
    const names = readdirSync(folder).filter((name) => /\.(csv|tsv|txt|json|xlsx)$/i.test(name));
    return names.sort().map((name) => join(path, name));
  },
  async isStopped() {
    if (!isListening)
      process.once("SIGINT", () => {
        isInterrupted = true;
      });
    isListening = true;
    await new Promise((resume) => setImmediate(resume));
    return isInterrupted;
  },
  readFolder(path) {
    const folder = resolve(here, path);
    if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() !== true) return null;
    const names = readdirSync(folder).filter((name) => name.endsWith(".csv"));
    return new Map(names.map((name) => [name, readFileSync(join(folder, name), "utf8")]));
  },
  writeFolder(path, files) {
    mkdirSync(resolve(here, path), { recursive: true });
    for (const [name, text] of files) writeFileSync(join(resolve(here, path), name), text);
  },
  readStandardInput: () => readFileSync(0),
  async openStore(which) {
    // Loaded only here: most verbs need no database.
    const { openSaved: openKept } = await import("./openSaved.ts");
    const { data: usualFolder, samples } = places;
    return openKept({ environment: process.env, usualFolder, samples }, which);
  },
  openAccounts: () => new Accounts(process.env["FINEBAND_DATA"] ?? places.data),
  places,
  environment: process.env,
  async serve(environment) {
    Object.assign(process.env, environment);
    await import("./main.ts");
  },
  now: () => new Date(),
  print: (text) => process.stdout.write(text),
  complain: (text) => process.stderr.write(text),
  version,
};

// The shortest answer waits for nothing else to load.
if (words[0] === "--version" || words[0] === "version") world.print(`${version}\n`);
else {
  const { run } = await import("./commands/run.ts");
  process.exitCode = await run(words, world);
}
