import { afterEach, expect, vi } from "vitest";
import { address } from "#ui/data/address.ts";
import { trouble } from "#ui/data/client.ts";
import { bands, isLoaded, loadAll, lots, measurements, pairs } from "#ui/data/entries.ts";
import type { KeptHere } from "../../api/saved.ts";

/** The page's own questions go to a server that is a value; what the page holds is emptied after each test. */
export async function openOn(here: KeptHere, lotId: number, stage: string): Promise<void> {
  emptied();
  vi.stubGlobal("localStorage", { getItem: () => null, setItem: () => {} });
  vi.stubGlobal("fetch", async (path: string, sent: RequestInit) => here.app.request(`/${path}`, sent));
  address.value = { ...address.value, page: "wheel-plan", lotId, stage, bandId: null };
  if (!(await loadAll())) throw new Error(trouble.value ?? "the page could not load what is saved");
}

function emptied(): void {
  isLoaded.value = false;
  address.value = { ...address.value, page: "lot", lotId: null };
  measurements.value = new Map();
  lots.value = [];
  bands.value = [];
  pairs.value = [];
}

afterEach(() => {
  emptied();
  vi.unstubAllGlobals();
});

export async function sent(here: KeptHere, method: string, path: string, body?: object) {
  const answer = await here.ask(method, path, body);
  expect(answer.status, `${method} ${path}: ${await answer.clone().text()}`).toBeLessThan(300);
  return answer.json();
}

const shares = [4, 12, 24, 30, 20, 8, 2];
const stagesOfLot = ["milled", "milled", "re-fired", "re-fired"] as const;

/** Lots milled and re-fired, two runs each, saved as one change; each lot is of another size. */
export async function keepLots(
  here: KeptHere,
  material: string,
  count: number,
  scale: number,
): Promise<number[]> {
  const band = await sent(here, "POST", "/api/bands", {
    version: 1,
    name: `target ${material}`,
    stage: "re-fired",
    densityGPerCm3: 4.55,
    rule: "simple",
    rows: [{ limit: "d50Um", low: 1.2 * scale, high: 2.6 * scale }],
    envelope: null,
  });
  const tables = Array.from({ length: count }, (_, lot) => {
    const factor = scale * (1 + 0.004 * ((lot * 7) % count));
    const heading = ["Size (µm)", ...stagesOfLot.map((_, run) => `run ${run + 1}`)].join(";");
    const rows = shares.map((share, i) => {
      const cells = stagesOfLot.map((_, run) => {
        // The curve is moved towards larger sizes by re-firing, and a little from run to run.
        const before = shares[i - 1] ?? 0;
        const grown = run < 2 ? share : 0.8 * share + 0.2 * before;
        return grown + (i === 2 ? 0.1 * run : 0) - (i === 4 ? 0.1 * run : 0);
      });
      return [(0.5 * factor * 1.6 ** i).toFixed(4), ...cells.map((cell) => cell.toFixed(2))].join(";");
    });
    return {
      file: `${material} ${lot}.csv`,
      text: `${[heading, ...rows].join("\n")}\n`,
      options: { edge: "upper", values: "class", quantity: "volume" },
      runs: stagesOfLot.map((stage, run) => ({ name: `run ${run + 1}`, newLot: lot, stage })),
    };
  });
  const lots = tables.map((_, i) => ({ name: `${material} ${i}`, material, densityGPerCm3: 4.55 }));
  const { lotIds } = await sent(here, "POST", "/api/intake", { lots, tables });
  // The band of one is that of its material.
  const given = { ...lots[0], bandId: band.id };
  await sent(here, "PUT", `/api/lots/${lotIds[0]}`, given);
  return lotIds;
}
