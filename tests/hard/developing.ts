import { spawn } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));
const copied = ["distributions", "model", "api", "ui", "docs", "package.json", "tsconfig.json"];

/** What a process has used of the processor in seconds; NaN where the system does not say. */
function usedSeconds(pid: number | undefined): number {
  const path = `/proc/${pid}/stat`;
  if (!existsSync(path)) return Number.NaN;
  const [, rest = ""] = readFileSync(path, "utf8").split(") ");
  const [user, system] = rest.split(" ").slice(11, 13).map(Number);
  const ticksPerSecond = 100;
  return ((user ?? Number.NaN) + (system ?? Number.NaN)) / ticksPerSecond;
}

/**
 * Starts `npm run dev`'s server in a copy of the tree and changes a line of the server, of the page and of the model.
 *
 * @returns for each changed file the processor's seconds from the save to an answer that has the new line
 */
export async function changeWhileDeveloping(): Promise<Record<string, number>> {
  const copy = mkdtempSync(join(tmpdir(), "fineband-dev-"));
  for (const path of copied)
    cpSync(join(root, path), join(copy, path), {
      recursive: true,
      filter: (source) => !/[\\/](dist|api[\\/]data)$/.test(source),
    });
  symlinkSync(join(root, "node_modules"), join(copy, "node_modules"), "junction");
  const { DATABASE_URL: _, ...environment } = process.env;
  const server = spawn(process.execPath, [join(copy, "api/dev.mjs")], {
    env: { ...environment, PORT: "0", FINEBAND_DATA: join(copy, "data") },
    stdio: ["ignore", "pipe", "inherit"],
  });
  const ended = new Promise((resolve) => server.once("exit", resolve));
  try {
    const address = await new Promise<string>((resolve, reject) => {
      let said = "";
      server.stdout.on("data", (data) => {
        said += String(data);
        const found = /Fineband is at (\S+?)\/?\n/.exec(said)?.[1];
        if (found !== undefined) resolve(found);
      });
      void ended.then(() => reject(new Error(`the server stopped: ${said}`)));
    });
    const textAt = async (path: string) => {
      const response = await fetch(address + path);
      return response.ok ? response.text() : "";
    };
    const secondsUntilSeen = async (file: string, [from, to]: readonly [string, string], path: string) => {
      await textAt(path);
      const source = readFileSync(join(copy, file), "utf8");
      if (!source.includes(from)) throw new Error(`${file} no longer has the line that is changed: ${from}`);
      const before = usedSeconds(server.pid);
      writeFileSync(join(copy, file), source.replace(from, to));
      for (const patience = Date.now() + 60_000; !(await textAt(path)).includes(to); ) {
        if (Date.now() > patience) throw new Error(`${file} was changed, and ${path} stays as it was`);
        await new Promise((resolve) => setTimeout(resolve, 100));
      }
      return usedSeconds(server.pid) - before;
    };
    const words = "model/words/wording.ts";
    const found = {
      "api/app.ts": await secondsUntilSeen("api/app.ts", ['"ready"', '"ready anew"'], "/api/health"),
      "ui/main.tsx": await secondsUntilSeen("ui/main.tsx", ['"app"', '"application"'], "/main.tsx"),
      [words]: await secondsUntilSeen(words, ['"over 99 %"', '"above 99 %"'], `/@fs${copy}/${words}`),
    };
    // The server takes the model up as well.
    const before = usedSeconds(server.pid);
    await textAt("/api/health");
    return { ...found, [`${words}, server`]: usedSeconds(server.pid) - before };
  } finally {
    server.kill();
    await ended;
    rmSync(copy, { recursive: true, force: true });
  }
}
