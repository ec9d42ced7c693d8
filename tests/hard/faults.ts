import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { constants, tmpdir } from "node:os";
import { join } from "node:path";
import { openStore } from "../../api/store/openStore.ts";
import { chanceFrom } from "./chance.ts";
import { get, post, startServer } from "./server.ts";

const calls = ["write", "sync", "rename", "open"] as const;
const numbers = ["ENOSPC", "EIO", "EROFS", "EACCES"] as const;

/** Whether a library that lets calls fail can be made and loaded here. */
export function canFail(): boolean {
  try {
    execFileSync("cc", ["--version"], { stdio: "ignore" });
    return process.platform === "linux";
  } catch {
    return false;
  }
}

/**
 * Lets one kind of call fail at a time while lots are saved and a copy is brought back, lifts it, and asks again; the
 * server is killed in between and at the end, since what was answered as saved must be on the disk.
 *
 * @param source  the C source of the library that lets calls fail
 * @param count   how many faults
 */
export async function letFail(source: string, count: number, seed: number) {
  const top = mkdtempSync(join(tmpdir(), "fineband-failing-"));
  const [folder, control, library] = ["lab", "control", "failing.so"].map((name) => join(top, name));
  if (folder === undefined || control === undefined || library === undefined) throw new Error("three names");
  execFileSync("cc", ["-shared", "-fPIC", "-O1", "-o", library, source, "-ldl"]);
  mkdirSync(folder);
  const store = await openStore({ databaseUrl: null, folder }, () => new Date());
  await store.begin();
  await store.close();
  const start = () =>
    startServer(folder, {
      LD_PRELOAD: library,
      FAILING_ROOT: folder,
      FAILING_CONTROL: control,
      UV_USE_IO_URING: "0",
    });
  // Another file each time: the server may be counting in the one before.
  const say = (what: string) => {
    writeFileSync(`${control}.next`, what);
    renameSync(`${control}.next`, control);
  };
  const chance = chanceFrom(seed);
  const acknowledged = new Set<string>();
  const statuses = new Map<string, number>();
  const [unsaid, notAgain]: [string[], string[]] = [[], []];
  let [refused, savedThoughRefused] = [0, 0];
  let server = await start();
  /** Saves a lot under its name as key. @returns whether it was answered as saved */
  const save = async (name: string, fault: string): Promise<boolean> => {
    const lot = { name, densityGPerCm3: 4 };
    const { status, answer } = await post(server.address, "/api/lots", lot, { "idempotency-key": name });
    tell(`${fault}: ${status}`);
    if (status === 201) acknowledged.add(name);
    else if (fault !== "none") heard(fault, status, String(answer.detail));
    return status === 201;
  };
  const tell = (what: string) => void statuses.set(what, (statuses.get(what) ?? 0) + 1);
  const heard = (fault: string, status: number, detail: string) => {
    refused++;
    const isRight = [503, 507].includes(status) && /Nothing was saved|Nothing is saved/.test(detail);
    if (!isRight) unsaid.push(`${fault}: ${status} ${detail}`);
  };
  try {
    for (let n = 0; n < count; n++) {
      const call = calls[(n + seed) % calls.length] ?? "write";
      const number = numbers[Math.floor((n + seed) / calls.length) % numbers.length] ?? "EIO";
      const fault = `${call} ${number}`;
      say(`${call} ${constants.errno[number]} ${String(chance(8)).padStart(6, "0")}`);
      const names = [0, 1, 2, 3].map((k) => `lot ${n} ${k}`);
      const missing: string[] = [];
      for (const name of names) if (!(await save(name, fault))) missing.push(name);
      const before = acknowledged.size;
      const brought = await post(server.address, "/api/copy", { fineband: "copy", version: 1 });
      tell(`${fault}, import: ${brought.status}`);
      if (brought.status !== 200) heard(`${fault}, import`, brought.status, String(brought.answer.detail));
      say("");
      if (brought.status === 200) {
        const undone = await post(server.address, "/api/undo", {});
        if (undone.status !== 200) notAgain.push(`${fault}, undo: ${undone.status}`);
      }
      for (const name of missing) if (!(await save(name, "none"))) notAgain.push(`${fault}, ${name}`);
      if (acknowledged.size < before) throw new Error("What was counted is gone.");
      if (n % 2 === 1 || n === count - 1) {
        await server.kill();
        server = await start();
      }
      const { lots }: { lots: readonly { name: string }[] } = await get(server.address, "/api/lots");
      const there = lots.map(({ name }) => name);
      savedThoughRefused += there.filter((name) => !acknowledged.has(name)).length;
      for (const name of acknowledged)
        if (there.filter((one) => one === name).length !== 1)
          notAgain.push(`${fault}: ${name} is there otherwise`);
    }
    const { faults } = await get(server.address, "/api/verify");
    return {
      faults: count,
      acknowledged: acknowledged.size,
      refused,
      unsaid,
      notAgain,
      savedThoughRefused,
      verify: faults,
      statuses: Object.fromEntries(statuses),
    };
  } finally {
    await server.kill();
    rmSync(top, { recursive: true, force: true });
  }
}
