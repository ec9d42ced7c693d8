import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { type ExitCode, run } from "./commands/run.ts";
import { version } from "./version.ts";

// npm changes the working folder; INIT_CWD is where the person stands.
const here = process.env["INIT_CWD"] ?? process.cwd();

const exitCode: ExitCode = run(process.argv.slice(2), {
  readFile: (path) => readFileSync(resolve(here, path)),
  readStandardInput: () => readFileSync(0),
  print: (text) => process.stdout.write(text),
  complain: (text) => process.stderr.write(text),
  version,
});
process.exitCode = exitCode;
