import { execFileSync } from "node:child_process";
import { chownSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { get, post, startServer } from "./server.ts";

/** A PostgreSQL server of the distribution's own package, on a folder of its own. */
interface OwnPostgres {
  readonly url: string;
  readonly control: (...words: readonly string[]) => void;
  readonly done: () => void;
}

export function ownPostgres(port: number): OwnPostgres {
  const [newest] = readdirSync("/usr/lib/postgresql").toSorted((a, b) => Number(b) - Number(a));
  const bin = `/usr/lib/postgresql/${newest}/bin`;
  const folder = mkdtempSync(join(tmpdir(), "fineband-postgres-"));
  const isRoot = process.getuid?.() === 0;
  if (isRoot) chownSync(folder, Number(execFileSync("id", ["-u", "postgres"]).toString()), 0);
  const run = (...words: readonly string[]) =>
    execFileSync(isRoot ? "runuser" : "env", isRoot ? ["-u", "postgres", "--", ...words] : [...words], {
      cwd: folder,
      stdio: "ignore",
    });
  const data = join(folder, "data");
  run(`${bin}/initdb`, "-D", data, "-A", "trust", "-U", "fineband", "-E", "UTF8", "--locale=C.UTF-8");
  const options = `-p ${port} -k ${folder} -c listen_addresses=127.0.0.1`;
  const control = (...words: readonly string[]) =>
    void run(`${bin}/pg_ctl`, "-D", data, "-l", join(folder, "log"), "-w", "-o", options, ...words);
  control("start");
  return {
    url: `postgres://fineband@127.0.0.1:${port}/postgres`,
    control,
    done() {
      control("-m", "immediate", "stop");
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/**
 * Stops PostgreSQL at once and starts it again while several write through one server, each change under a key that is
 * sent again until it is answered.
 *
 * @param times  how often it is stopped
 */
export async function restartPostgres(times: number, port: number) {
  const postgres = ownPostgres(port);
  const folder = mkdtempSync(join(tmpdir(), "fineband-restarted-"));
  const server = await startServer(folder, { DATABASE_URL: postgres.url });
  const acknowledged: string[] = [];
  const statuses = new Map<number, number>();
  let [isOver, without, worst] = [false, 0, 0];
  const write = async (writer: number) => {
    for (let n = 0; !isOver; n++) {
      const lot = { name: `lot ${writer} ${n}`, densityGPerCm3: 4 };
      for (let isKept = false; !isKept; ) {
        const from = Date.now();
        const { status, retryAfter } = await post(server.address, "/api/lots", lot, {
          "idempotency-key": lot.name,
        });
        worst = Math.max(worst, Date.now() - from);
        statuses.set(status, (statuses.get(status) ?? 0) + 1);
        isKept = status === 201;
        if (status === 503 && retryAfter === null) without++;
        if (!isKept) await sleep(20);
      }
      acknowledged.push(lot.name);
    }
  };
  try {
    const writers = [0, 1, 2].map(write);
    for (let n = 0; n < times; n++) {
      await sleep(150 + ((n * 37) % 200));
      postgres.control("-m", n % 2 === 0 ? "immediate" : "fast", "restart");
    }
    await sleep(500);
    isOver = true;
    await Promise.all(writers);
    const { lots }: { lots: readonly { name: string }[] } = await get(server.address, "/api/lots");
    const { faults } = await get(server.address, "/api/verify");
    const names = lots.map(({ name }) => name);
    return {
      restarts: times,
      acknowledged: acknowledged.length,
      lost: acknowledged.filter((name) => !names.includes(name)).length,
      twice: names.length - new Set(names).size,
      statuses: Object.fromEntries(statuses),
      withoutRetryAfter: without,
      longestAnswerMs: worst,
      faults,
    };
  } finally {
    await server.kill();
    postgres.done();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Asks for `verify` again and again while others write. @returns how often it named a fault where there is none */
export async function falseAlarms(asks: number, port: number) {
  const postgres = ownPostgres(port);
  const folder = mkdtempSync(join(tmpdir(), "fineband-alarms-"));
  const server = await startServer(folder, { DATABASE_URL: postgres.url });
  let isOver = false;
  let written = 0;
  const write = async (writer: number) => {
    for (let n = 0; !isOver; n++) {
      await post(server.address, "/api/lots", { name: `lot ${writer} ${n}`, densityGPerCm3: 4 });
      written++;
    }
  };
  try {
    const writers = [0, 1, 2].map(write);
    let alarms = 0;
    for (let n = 0; n < asks; n++) if ((await get(server.address, "/api/verify")).faults.length > 0) alarms++;
    isOver = true;
    await Promise.all(writers);
    return { asks, alarms, written };
  } finally {
    await server.kill();
    postgres.done();
    rmSync(folder, { recursive: true, force: true });
  }
}
