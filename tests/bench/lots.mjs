// How long a store of 10,000 lots takes to list, to search and to show one lot, at the server.
import { serve } from "./served.mjs";

const lotCount = 10_000;
const runsPerLot = 3;
const classes = 80;

/** A copy that holds so many lots, each with a table and its runs, as the program itself would save it; no two alike. */
export function copyOf(count, runs) {
  const edges = Array.from({ length: classes + 1 }, (_, i) => Number((0.05 * 1.12 ** i).toPrecision(4)));
  const distributionOf = (middle) => {
    const weights = edges.slice(1).map((_, i) => Math.exp(-(((i - middle) / 8) ** 2)));
    const whole = weights.reduce((a, b) => a + b);
    return {
      quantity: "volume",
      measuredAs: "volume",
      inClass: "log-uniform",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: weights.map((w) => w / whole),
      belowShare: 0,
      aboveShare: 0,
    };
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
      Array.from({ length: runs }, (_, run) => ({
        id: (id - 1) * runs + run + 1,
        lotId: id,
        importId: id,
        stage: "milled",
        name: `run ${run + 1}`,
        file: null,
        distribution: distributionOf(38 + 4 * Math.sin(id) + 0.5 * Math.sin(7 * id + run)),
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
  const begun = Date.now();
  const { address, stop } = await serve(copyOf(lotCount, runsPerLot));
  console.log(
    `${lotCount} lots with ${lotCount * runsPerLot} runs brought back, and the server begun: ${((Date.now() - begun) / 1000).toFixed(1)} s`,
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
  stop();
}
