// How long a store of 10,000 lots takes to list, to search and to show one lot, at the server.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));
const lotCount = 10_000;
const runsPerLot = 3;
const classes = 80;

/** A copy that holds so many lots, each with a table and its runs, as the program itself would save it. */
function copyOf(count) {
  const edges = Array.from({ length: classes + 1 }, (_, i) => Number((0.05 * 1.12 ** i).toPrecision(4)));
  const weights = edges.slice(1).map((_, i) => Math.exp(-(((i - 38) / 8) ** 2)));
  const whole = weights.reduce((a, b) => a + b);
  const distribution = {
    quantity: "volume",
    measuredAs: "volume",
    inClass: "log-uniform",
    lowerUm: edges.slice(0, -1),
    upperUm: edges.slice(1),
    shares: weights.map((w) => w / whole),
    belowShare: 0,
    aboveShare: 0,
  };
  const materials = ["garnet", "spinel", "ceria", "alumina", "zirconia"];
  const keptAt = "2020-01-01T00:00:00.000Z";
  const ids = Array.from({ length: count }, (_, i) => i + 1);
  return JSON.stringify({
    fineband: "copy",
    version: 1,
    lots: ids.map((id) => ({
      id,
      name: `Lot ${id}`,
      material: materials[id % materials.length],
      densityGPerCm3: 4 + (id % 7) / 10,
      bandId: null,
      note: `campaign ${Math.floor(id / 40)}`,
      keptAt,
    })),
    tables: ids.map((id) => ({ id, lotId: id, file: null, text: "", sha256: "", options: {}, keptAt })),
    measurements: ids.flatMap((id) =>
      Array.from({ length: runsPerLot }, (_, run) => ({
        id: (id - 1) * runsPerLot + run + 1,
        lotId: id,
        importId: id,
        stage: "milled",
        name: `run ${run + 1}`,
        file: null,
        distribution,
        asideBecause: null,
      })),
    ),
  });
}

const at = (list, p) => list[Math.floor(p * (list.length - 1))].toFixed(1);

export async function timed(what, ask, times = 40) {
  const taken = [];
  for (let i = 0; i < times; i++) {
    const from = performance.now();
    await ask(i);
    taken.push(performance.now() - from);
  }
  taken.sort((a, b) => a - b);
  console.log(`${what}: median ${at(taken, 0.5)} ms, 95th percentile ${at(taken, 0.95)} ms`);
}

/** Lists, searches and shows through HTTP, as the page does. */
export async function benchLots() {
  const folder = mkdtempSync(join(tmpdir(), "fineband-lots-"));
  const { DATABASE_URL: _, ...environment } = process.env;
  const env = { ...environment, PORT: "0", FINEBAND_DATA: folder };
  const copy = join(folder, "copy.json");
  writeFileSync(copy, copyOf(lotCount));
  const begun = Date.now();
  await new Promise((resolve, reject) =>
    spawn(process.execPath, [join(root, "api/dist/cli.js"), "restore", copy], { env, stdio: "ignore" }).once(
      "exit",
      (code) => (code === 0 ? resolve() : reject(new Error(`restore ended with ${code}`))),
    ),
  );
  console.log(
    `${lotCount} lots with ${lotCount * runsPerLot} runs brought back: ${((Date.now() - begun) / 1000).toFixed(1)} s`,
  );
  const server = spawn(process.execPath, [join(root, "api/dist/main.js")], { env });
  const address = await new Promise((resolve) =>
    server.stdout.on("data", (d) => /at (\S+)/.exec(String(d)) && resolve(/at (\S+)/.exec(String(d))[1])),
  );
  const get = async (path) => (await fetch(`${address}${path}`)).arrayBuffer();
  await get("api/lots?limit=100");
  await timed("first hundred of the list", () => get("api/lots?limit=100"));
  await timed("search, many fit", (i) =>
    get(`api/lots?limit=100&search=${["garnet", "spin", "lot"][i % 3]}`),
  );
  await timed("search, few fit", (i) => get(`api/lots?limit=100&search=campaign+${i}+garnet`));
  await timed("the whole list", () => get("api/lots"), 15);
  await timed("one lot with its runs", (i) => get(`api/lots/${1 + i * 199}`));
  server.kill();
  rmSync(folder, { recursive: true, force: true });
}
