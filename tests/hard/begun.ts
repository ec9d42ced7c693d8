import { createHash } from "node:crypto";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { startServer } from "./server.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const cache = join(root, ".cache/begun");

/** A folder of its own for a test that is not of the first start: the demo as it begins, nothing left to compute. */
export async function copyOfBegun(called: string): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), `fineband-${called}-`));
  cpSync(await begunFolder(), folder, { recursive: true });
  return folder;
}

/**
 * A folder in which the built server was started once: the demo, and what is computed of its lots. Made once for each
 * build, and copied for every file of tests.
 */
async function begunFolder(): Promise<string> {
  const folder = join(cache, checksumOf(["api/dist", "distributions/samples"]));
  if (existsSync(folder)) return folder;
  mkdirSync(cache, { recursive: true });
  const making = mkdtempSync(join(cache, "making-"));
  const server = await startServer(making);
  await untilSummarized(server.address);
  await server.stop();
  try {
    renameSync(making, folder);
  } catch {
    // Another process was quicker: its folder serves.
    rmSync(making, { recursive: true, force: true });
  }
  return folder;
}

function checksumOf(folders: readonly string[]): string {
  const hash = createHash("sha256");
  for (const folder of folders)
    for (const entry of readdirSync(join(root, folder), { recursive: true, withFileTypes: true }))
      if (entry.isFile()) hash.update(readFileSync(join(entry.parentPath, entry.name)));
  return hash.digest("hex").slice(0, 16);
}

async function untilSummarized(address: string): Promise<void> {
  for (;;) {
    const { lots }: { lots: { summary: { stale: boolean } | null; stages: readonly unknown[] }[] } = await (
      await fetch(`${address}/api/lots`)
    ).json();
    if (lots.every(({ summary, stages }) => stages.length === 0 || summary?.stale === false)) return;
    await setTimeout(200);
  }
}
