import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Database from "libsql";
import { get, spawnServer, startServer } from "./server.ts";

const newFolder = () => mkdtempSync(join(tmpdir(), "fineband-first-"));

/** How many events the demo's file in a folder holds; 0 where it or its tables are not there yet. */
function eventsIn(folder: string): number {
  const path = join(folder, "demo.sqlite");
  if (!existsSync(path)) return 0;
  const file = new Database(path);
  try {
    const isThere = file.prepare("select 1 from sqlite_master where name = 'events'").all().length > 0;
    return isThere ? file.prepare("select seq from events").all().length : 0;
  } finally {
    file.close();
  }
}

/** Until a server has made the demo's file, which it then fills. */
async function demoBegun(folder: string): Promise<void> {
  const patience = Date.now() + 60_000;
  while (!existsSync(join(folder, "demo.sqlite")) && Date.now() < patience) await sleep(2);
}

const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

let found: ReturnType<typeof firstStart> | undefined;

/** A first start that nobody disturbs, made once: how long the demo takes, and what is there then. */
function undisturbed() {
  found ??= firstStart();
  return found;
}

async function firstStart() {
  const folder = newFolder();
  const starting = startServer(folder);
  await demoBegun(folder);
  const begun = Date.now();
  const server = await starting;
  const ms = Date.now() - begun;
  const { total } = await get(server.address, "/api/lots?limit=1");
  await server.kill();
  const events = eventsIn(folder);
  rmSync(folder, { recursive: true, force: true });
  return { ms, events, lots: total };
}

/**
 * Kills a server with SIGKILL ever later in its first start, looks at what it left, and starts another on it.
 *
 * @param starts  how often, each on an empty folder
 * @returns       how many left none of the demo, all of it, a part; how many folders were not whole after the next start
 */
export async function killWhileStarting(starts: number) {
  const expected = await undisturbed();
  let [none, whole, half, notWholeLater] = [0, 0, 0, 0];
  for (let n = 0; n < starts; n++) {
    const folder = newFolder();
    const server = spawnServer(folder);
    const ended = new Promise((resolve) => server.once("exit", resolve));
    await demoBegun(folder);
    await sleep((expected.ms * 1.6 * n) / starts);
    server.kill("SIGKILL");
    await ended;
    const events = eventsIn(folder);
    if (events === 0) none++;
    else if (events === expected.events) whole++;
    else half++;
    const next = await startServer(folder);
    const { total } = await get(next.address, "/api/lots?limit=1");
    const { faults } = await get(next.address, "/api/verify");
    if (total !== expected.lots || faults.length > 0) notWholeLater++;
    await next.kill();
    rmSync(folder, { recursive: true, force: true });
  }
  return { starts, none, whole, half, notWholeLater };
}

/** Several servers at once on one empty folder: how many come up, and how many lots there are then. */
export async function startAtOnce(servers: number) {
  const expected = await undisturbed();
  const folder = newFolder();
  const running = await Promise.all(Array.from({ length: servers }, () => startServer(folder)));
  const answers = await Promise.all(running.map(({ address }) => get(address, "/api/lots?limit=1")));
  const faults = (await Promise.all(running.map(({ address }) => get(address, "/api/verify")))).flatMap(
    (answer) => answer.faults,
  );
  await Promise.all(running.map((server) => server.kill()));
  rmSync(folder, { recursive: true, force: true });
  return {
    started: running.length,
    expected: expected.lots,
    lots: Math.max(...answers.map((answer) => answer.total)),
    faults,
  };
}
