import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { homedir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import type { World } from "./commands/command.ts";
import { filesIn } from "./commands/filesIn.ts";
import { placesOf } from "./places.ts";
import { settingsIn } from "./settings.ts";
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
// What the environment does not say, a file of settings may; a fault in it is told with the command's own faults.
let settingsFault: unknown = null;
try {
  if (places.settings !== null)
    Object.assign(process.env, settingsIn(places.settings, { environment: process.env }));
} catch (fault) {
  settingsFault = fault;
}
// Listened for only by what stops between two files; a second Ctrl+C ends it at once.
let isListening = false;
let isInterrupted = false;

const world: World = {
  readFile: (path) => readFileSync(resolve(here, path)),
  writeFile: (path, content) => writeFileSync(resolve(here, path), content),
  async writePieces(path, pieces) {
    const { writePieces } = await import("./commands/writing.ts");
    return writePieces(resolve(here, path), pieces);
  },
  filesIn: (path) => filesIn(here, path),
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
    const tell = (text: string) => process.stderr.write(`${text}\n`);
    return openKept({ environment: process.env, usualFolder, samples, tell }, which);
  },
  async openAccounts() {
    const { Accounts } = await import("./access/accounts.ts");
    return new Accounts(process.env["FINEBAND_DATA"] ?? places.data);
  },
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

// Written beside the build from what every verb says of itself (vite.config.ts).
const helpPath = fileURLToPath(new URL("help.txt", import.meta.url));

// The shortest answers wait for nothing else to load.
if (words[0] === "--version" || words[0] === "version") world.print(`${version}\n`);
else if (["--help", "-h", "help"].includes(words[0] ?? "--help") && words.length < 2 && existsSync(helpPath))
  world.print(readFileSync(helpPath, "utf8"));
else {
  const { run } = await import("./commands/run.ts");
  process.exitCode = await run(words, world, settingsFault);
}
