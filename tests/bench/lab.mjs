// A lab of 50,000 lots with 5 runs each and 20 mills: what the pages ask of it, at the server.
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import pg from "pg";
import { build } from "vite";
import { timed } from "./lots.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const times = 15;

/** @param where  "file" or "server" alone; else both */
export async function benchLab(where, lots = Number(process.env.FINEBAND_BENCH_LOTS ?? 50_000)) {
  // Beside node_modules, so that what is not bundled is found there.
  const folder = join(root, `.cache/bench-lab-${process.pid}`);
  mkdirSync(folder, { recursive: true });
  await build({
    configFile: false,
    root,
    logLevel: "error",
    build: { ssr: "tests/bench/lab.ts", outDir: folder, emptyOutDir: true },
  });
  const { askLab } = await import(pathToFileURL(join(folder, "lab.js")).href);
  const size = { lots, runsPerLot: 5, mills: 20, trialsPerMill: 30, materials: 10 };
  const ask = (name, what) => timed(`  ${name}`, what, times);
  if (where !== "server") await onFile((data) => askLab({ databaseUrl: null, folder: data }, size, ask));
  if (where !== "file") await onServer((databaseUrl) => askLab({ databaseUrl, folder: "" }, size, ask));
}

async function onFile(work) {
  const data = mkdtempSync(join(tmpdir(), "fineband-bench-lab-"));
  console.log("On a file:");
  await work(data);
  rmSync(data, { recursive: true, force: true });
}

async function onServer(work) {
  const url = process.env.FINEBAND_TEST_DATABASE_URL ?? "";
  if (url === "") return console.log("On PostgreSQL: not run, FINEBAND_TEST_DATABASE_URL is not set");
  console.log("On PostgreSQL:");
  const schema = `fineband_bench_${process.pid}`;
  const pool = new pg.Pool({ connectionString: url, max: 1 });
  await pool.query(`create schema ${schema}`);
  const address = new URL(url);
  address.searchParams.set("options", `-c search_path=${schema}`);
  try {
    await work(address.href);
  } finally {
    await pool.query(`drop schema ${schema} cascade`);
    await pool.end();
  }
}
