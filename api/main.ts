import { existsSync } from "node:fs";
import { availableParallelism, homedir } from "node:os";
import { fileURLToPath } from "node:url";
import { serve } from "@hono/node-server";
import { whereaboutsOf, whyNotOpen } from "#api/store/database/database.ts";
import { Accounts } from "./access/accounts.ts";
import { Guard } from "./access/guard.ts";
import { hostsIn, isLoopback } from "./access/hosts.ts";
import { faultEvent, levelNamed, makeLog, type Tell } from "./access/log.ts";
import { NotStarted, type Reach, reachOf } from "./access/reach.ts";
import { limits } from "./contract/limits.ts";
import { FolderWatch } from "./intake/folderWatch.ts";
import { keepSafe } from "./keepSafe.ts";
import { keepSummaries } from "./keepSummaries.ts";
import { openLabs } from "./labs.ts";
import { makeLabsApp } from "./labsApp.ts";
import { placesOf } from "./places.ts";
import { Pool } from "./pool/pool.ts";
import { settingsIn } from "./settings.ts";

// The build stands in api/dist, two steps below the top of the checkout or package.
const top = fileURLToPath(new URL("../..", import.meta.url));
const places = placesOf(top, { environment: process.env, home: homedir(), platform: process.platform });
try {
  if (places.settings !== null)
    Object.assign(process.env, settingsIn(places.settings, { environment: process.env }));
} catch (fault) {
  console.error(fault instanceof Error ? fault.message : String(fault));
  process.exit(3);
}
const starting = places.isInstalled ? "fineband serve" : "npm start";
const host = process.env["HOST"] ?? "127.0.0.1";
const port = Number(process.env["PORT"] ?? 8417);

/** What has not been answered so long after the server was told to end is given up. */
const longestAnswerMs = 10_000;

// What the server writes is nobody's but its own user's.
process.umask(0o077);

function stop(message: string): never {
  console.error(message);
  process.exit(3);
}

if (!Number.isInteger(port) || port < 0 || port > 65535)
  stop(`PORT must be a whole number from 0 to 65535, found ${process.env["PORT"]}.`);

const whereabouts = whereaboutsOf(process.env, places.data);
const accounts = new Accounts(whereabouts.folder);
const isLed = () => accounts.all.some((one) => one.role === "administrator" && !one.isDisabled);
const reach = reachWanted();
const labs = await openLabs(whereabouts, places.samples).catch((fault: unknown) =>
  stop(whyNotOpen(whereabouts, fault)),
);

const tell = logWanted();
const report = (fault: unknown) => tell(faultEvent(fault));
const keeping = [labs.own, labs.demo].flatMap((lab) => (lab === null ? [] : [keepSummaries(lab, report)]));
const safe = [labs.own, labs.demo].flatMap((lab) => (lab === null ? [] : [keepSafe(lab, report)]));
const lost = labs.own.lost();
if (lost !== null) console.error(`${lost} docs/recovery.md says how to go on.`);

const watchedFolder = process.env["FINEBAND_WATCH"] ?? "";
const watch =
  watchedFolder === ""
    ? null
    : new FolderWatch(watchedFolder, async () =>
        (await labs.isStarted()) ? labs.own : (labs.demo ?? labs.own),
      );
watch?.start();

const pool = new Pool({
  script: fileURLToPath(new URL("worker.js", import.meta.url)),
  threads: Math.max(1, availableParallelism() - 1),
  limits,
  log: report,
});
const closing = new AbortController();
const app = makeLabsApp(labs, {
  closing: closing.signal,
  uiFolder: existsSync(places.page) ? places.page : null,
  log: report,
  pool,
  tell,
  ...(watch === null ? {} : { watch }),
  ...(reach === "this machine" ? {} : { guard: guardFor(reach) }),
  hosts: [...hostsIn(process.env["FINEBAND_HOSTS"]), ...(isLoopback(host) ? [] : [host.toLowerCase()])],
});
const server = serve({ fetch: app.fetch, hostname: host, port }, (address) => {
  const isAnywhere = host === "0.0.0.0" || host === "::";
  const shown = isAnywhere ? "127.0.0.1" : host.includes(":") ? `[${host}]` : host;
  const others = isAnywhere ? " here, and for others at each name in FINEBAND_HOSTS" : "";
  console.log(`Fineband is at http://${shown}:${address.port}/${others}`);
});
server.on("error", (fault: NodeJS.ErrnoException) => {
  stop(
    fault.code === "EADDRINUSE"
      ? `Port ${port} is taken. Stop what uses it, or choose another: PORT=8418 ${starting}.`
      : `The server cannot listen on ${host}:${port}: ${fault.message}.`,
  );
});

const toldToEnd = ["SIGINT", "SIGTERM"] as const;
for (const signal of toldToEnd) {
  process.once(signal, () => {
    // A second one finds no hearer and ends the program at once.
    for (const each of toldToEnd) process.removeAllListeners(each);
    closing.abort();
    void answered()
      .then(() =>
        Promise.all([...[...keeping, ...safe].map((one) => one.stop()), watch?.stop(), pool.close()]),
      )
      .then(() => labs.close())
      .then(
        () => process.exit(0),
        (fault: unknown) => stop(`The store was not closed: ${String(fault)}`),
      );
  });
}

/** Takes no more requests and waits until those that came are answered, though not for ever. */
function answered(): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve());
    setTimeout(resolve, longestAnswerMs).unref();
  });
}

function reachWanted(): Reach {
  try {
    return reachOf(process.env, host, isLed);
  } catch (fault) {
    if (fault instanceof NotStarted) stop(fault.message);
    throw fault;
  }
}

function logWanted(): Tell {
  try {
    const usual = reach === "this machine" ? "fault" : "write";
    const level = levelNamed(process.env["FINEBAND_LOG_LEVEL"], usual);
    return makeLog(process.env["FINEBAND_LOG"] ?? null, level, () => new Date());
  } catch (fault) {
    return stop(`The log cannot be kept: ${fault instanceof Error ? fault.message : String(fault)}.`);
  }
}

function guardFor(beyond: Exclude<Reach, "this machine">): Guard {
  const writersRelease = process.env["FINEBAND_WRITERS_RELEASE"] === "yes";
  return new Guard({ accounts, reach: beyond, writersRelease, nowMs: Date.now });
}
