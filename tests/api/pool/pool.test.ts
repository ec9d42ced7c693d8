import { fileURLToPath } from "node:url";
import { afterEach, describe, expect, test } from "vitest";
import { makeApp } from "#api/app.ts";
import { Pool } from "#api/pool/pool.ts";
import { keepHere } from "../saved.ts";

const script = fileURLToPath(new URL("worker.mjs", import.meta.url));
const usual = { secondsPerAnswer: 30, megabytesPerWorker: 64, perCaller: 3, together: 5 };
const open: Pool[] = [];
const faults: unknown[] = [];
const poolOf = (more: Partial<typeof usual> = {}, of = script) => {
  const log = (fault: unknown) => faults.push(fault);
  const pool = new Pool({ script: of, threads: 1, limits: { ...usual, ...more }, log });
  open.push(pool);
  return pool;
};
afterEach(async () => {
  await Promise.all(open.splice(0).map((pool) => pool.close()));
});

const stays = new AbortController().signal;
const question = (text: string, path = "/") => ({ path, body: Uint8Array.from(Buffer.from(text)).buffer });
const textOf = ({ body }: { body: Uint8Array }) => Buffer.from(body).toString();

describe("the pool of workers", () => {
  test("answers each with its own, those of the caller with fewer at work first", async () => {
    const pool = poolOf();
    const order: string[] = [];
    const ask = async (text: string, caller: string) => {
      const answer = await pool.ask(question(text), caller, stays);
      order.push(textOf(answer));
    };
    await Promise.all([ask("a1", "a"), ask("a2", "a"), ask("a3", "a"), ask("b1", "b")]);
    expect(order[0]).toBe("a1");
    expect(order.toSorted()).toEqual(["a1", "a2", "a3", "b1"]);
  });

  test("refuses in words what is too much for one caller, and for all", async () => {
    const pool = poolOf();
    const asked = ["a", "a", "a"].map((caller) => pool.ask(question("x"), caller, stays));
    await expect(pool.ask(question("x"), "a", stays)).rejects.toThrow(/You have 3 questions waiting/);
    asked.push(...["b", "c"].map((caller) => pool.ask(question("x"), caller, stays)));
    await expect(pool.ask(question("x"), "d", stays)).rejects.toThrow(/5 questions are before yours/);
    await Promise.all(asked);
  });

  test("an answer that takes too long, or too much memory, ends alone; the next is answered", async () => {
    const pool = poolOf({ secondsPerAnswer: 3 });
    await expect(pool.ask(question("", "/for ever"), "a", stays)).rejects.toThrow(/takes longer than 3 s/);
    const large = poolOf({ megabytesPerWorker: 16 });
    await expect(large.ask(question("", "/memory"), "a", stays)).rejects.toThrow(/more than 16 MB/);
    for (const next of [pool, large]) expect(textOf(await next.ask(question("on"), "a", stays))).toBe("on");
  });

  test("what its asker left ends, at work or waiting, and the next is answered", async () => {
    const pool = poolOf();
    const [leaves, waitsNot] = [new AbortController(), new AbortController()];
    const atWork = expect(pool.ask(question("", "/for ever"), "a", leaves.signal)).rejects.toThrow();
    const waiting = expect(pool.ask(question("", "/for ever"), "a", waitsNot.signal)).rejects.toThrow();
    waitsNot.abort();
    await waiting;
    leaves.abort();
    await atWork;
    expect(textOf(await pool.ask(question("on"), "a", stays))).toBe("on");
  });

  test("a fault of a worker is told and costs one answer", async () => {
    const pool = poolOf();
    await expect(pool.ask(question("", "/fault"), "a", stays)).rejects.toThrow("a fault");
    expect(String(faults.pop())).toContain("a fault");
    expect(textOf(await pool.ask(question("on"), "a", stays))).toBe("on");
  });
});

test("a worker answers byte for byte what the server itself answers, refusals included", async () => {
  const here = await keepHere();
  const built = fileURLToPath(new URL("../../../api/dist/worker.js", import.meta.url));
  const app = makeApp({
    store: here.store,
    uiFolder: null,
    log: () => {},
    pool: poolOf({ megabytesPerWorker: 256 }, built),
  });
  const text = "Upper size (µm);run 1 (vol%)\n1;10\n2;40\n4;40\n8;10\n";
  const trials = [
    { pressureBar: 5, feedKgPerH: 8, d50Um: 5 },
    { pressureBar: 7, feedKgPerH: 8, d50Um: 4.2 },
  ];
  const asked: readonly [string, unknown][] = [
    ["/api/fit", { text, options: { edge: "upper", components: 2 } }],
    ["/api/fit", { text, options: { components: 9 } }],
    ["/api/fit", { text: 5 }],
    ["/api/fit", { text: "nothing" }],
    ["/api/stages", { stages: [{ text }, { text }], options: { edge: "upper" } }],
    ["/api/pressure", { trials: Array.from({ length: 60 }, () => trials).flat(), options: { pressure: 6 } }],
  ];
  for (const [path, body] of asked) {
    const sent = {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    };
    const [away, inside] = await Promise.all([app.request(path, sent), here.ask("POST", path, body)]);
    expect(await away.text(), path).toBe(await inside.text());
    expect([away.status, away.headers.get("content-type")]).toEqual([
      inside.status,
      inside.headers.get("content-type"),
    ]);
  }
  await here.close();
});

test("a question about more than one may ask is refused before it is answered", async () => {
  const here = await keepHere();
  const runs = Array.from({ length: 501 }, (_, i) => `run ${i} (vol%)`);
  const row = (size: number) => [size, ...runs.map(() => 100 / 3)].join(";");
  const text = `Upper size (µm);${runs.join(";")}\n${row(1)}\n${row(2)}\n${row(4)}\n`;
  const refused = await here.ask("POST", "/api/describe", {
    text,
    options: { edge: "upper", quantity: "volume" },
  });
  expect(refused.status).toBe(422);
  expect((await refused.json()).detail).toMatch(/501 measurements; one question takes 500/);
  const trials = Array.from({ length: 2001 }, () => ({ pressureBar: 5, feedKgPerH: 8, d50Um: 5 }));
  const many = await here.ask("POST", "/api/pressure", { trials, options: { pressure: 6 } });
  expect((await many.json()).detail).toMatch(/2001 trials; one question takes 2000/);
  await here.close();
});
