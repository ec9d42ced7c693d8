import { spawn } from "node:child_process";
import { fileURLToPath } from "node:url";

const main =
  process.env["FINEBAND_MAIN"] ?? fileURLToPath(new URL("../../api/dist/main.js", import.meta.url));

/** A server's process, from the moment it was asked for. */
export function spawnServer(folder: string, more: Readonly<Record<string, string>> = {}) {
  const { DATABASE_URL: _, ...environment } = process.env;
  return spawn(process.execPath, [main], {
    env: { ...environment, PORT: "0", FINEBAND_DATA: folder, ...more },
    stdio: ["ignore", "pipe", "inherit"],
  });
}

/** A built server as a process of its own. */
export interface Running {
  readonly address: string;
  /** Leaves it no time for anything; done when the process is gone. */
  readonly kill: () => Promise<void>;
  /** Asks it to end; done when the process is gone. */
  readonly stop: () => Promise<void>;
}

/** @param folder  where it keeps its files; a server that is started again on it goes on from there */
export async function startServer(
  folder: string,
  more: Readonly<Record<string, string>> = {},
): Promise<Running> {
  const server = spawnServer(folder, more);
  const ended = new Promise((resolve) => server.once("exit", resolve));
  const address = await new Promise<string>((resolve, reject) => {
    let heard = "";
    server.stdout.on("data", (data) => {
      heard += String(data);
      const found = /Fineband is at (\S+?)\/?\n/.exec(heard)?.[1];
      if (found !== undefined) resolve(found);
    });
    void ended.then(() => reject(new Error(`the server stopped: ${heard}`)));
  });
  return {
    address,
    async kill() {
      server.kill("SIGKILL");
      await ended;
    },
    async stop() {
      server.kill("SIGTERM");
      await ended;
    },
  };
}

export async function post(
  address: string,
  path: string,
  body: unknown,
  headers: Readonly<Record<string, string>> = {},
) {
  const response = await fetch(`${address}${path}`, {
    method: "POST",
    headers: { "content-type": "application/json", ...headers },
    body: JSON.stringify(body),
  });
  const retryAfter = response.headers.get("retry-after");
  return { status: response.status, answer: await response.json(), retryAfter };
}

export async function get(address: string, path: string) {
  const response = await fetch(`${address}${path}`);
  if (!response.ok) throw new Error(`${path} answered ${response.status}: ${await response.text()}`);
  return response.json();
}
