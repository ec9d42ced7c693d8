import { spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));

/**
 * The built server on a store of its own: the demo, or what a copy holds.
 *
 * @param copy  text of a copy; null for the demo
 */
export async function serve(copy = null) {
  const folder = mkdtempSync(join(tmpdir(), "fineband-bench-"));
  const { DATABASE_URL: _, ...environment } = process.env;
  const env = { ...environment, PORT: "0", FINEBAND_DATA: folder };
  if (copy !== null) await restore(copy, folder, env);
  const server = spawn(process.execPath, [join(root, "api/dist/main.js")], { env });
  const address = await new Promise((resolve) =>
    server.stdout.on("data", (d) => /at (\S+)/.exec(String(d)) && resolve(/at (\S+)/.exec(String(d))[1])),
  );
  return {
    address,
    stop() {
      server.kill();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function restore(copy, folder, env) {
  const file = join(folder, "copy.json");
  writeFileSync(file, copy);
  return new Promise((resolve, reject) =>
    spawn(process.execPath, [join(root, "api/dist/cli.js"), "restore", file], { env, stdio: "ignore" }).once(
      "exit",
      (code) => (code === 0 ? resolve() : reject(new Error(`restore ended with ${code}`))),
    ),
  );
}
