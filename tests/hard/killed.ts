import { rmSync } from "node:fs";
import type { SavedLot } from "../../api/records/records.ts";
import { copyOfBegun } from "./begun.ts";
import { get, post, startServer } from "./server.ts";

const runs = 3;
const table = [
  "lower_um,upper_um,run 1 volume %,run 2 volume %,run 3 volume %",
  "1,2,40,41,42",
  "2,4,60,59,58",
];

/**
 * Kills the server with SIGKILL while it writes, starts it again, and counts what is lost.
 *
 * @param kills   how often the server is killed
 * @returns       how many entries were acknowledged, how many of those are lost, how many are there by half
 */
export async function killWhileWriting(kills: number) {
  const folder = await copyOfBegun("killed");
  const acknowledged = new Set<string>();
  const lost = new Set<string>();
  let [half, faults] = [0, 0];
  try {
    let server = await startServer(folder);
    for (let kill = 0; kill <= kills; kill++) {
      const { lots }: { lots: readonly SavedLot[] } = await get(server.address, "/api/lots");
      const kept = lots.filter((lot) => lot.name.startsWith("hard "));
      const names = new Set(kept.map((lot) => lot.name));
      for (const name of acknowledged) if (!names.has(name.split("|")[0] ?? "")) lost.add(name);
      for (const lot of kept) {
        const count = lot.stages.reduce((sum, stage) => sum + stage.runs, 0);
        if (count !== 0 && count !== runs) half++;
        if (acknowledged.has(`${lot.name}|runs`) && count !== runs) lost.add(`${lot.name}|runs`);
      }
      faults += (await get(server.address, "/api/verify")).faults.length;
      if (kill === kills) break;
      const writers = [0, 1, 2].map((writer) =>
        write(server.address, `hard ${kill} ${writer}`, acknowledged),
      );
      const before = acknowledged.size;
      const patience = Date.now() + 20_000;
      while (acknowledged.size === before && Date.now() < patience) await sleep(5);
      await sleep((kill * 37) % 230);
      await server.kill();
      await Promise.all(writers);
      server = await startServer(folder);
    }
    await server.kill();
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  return { kills, acknowledged: acknowledged.size, lost: lost.size, half, faults };
}

const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** Writes lots, each with a table of three runs, until the server is gone; notes what was acknowledged. */
async function write(address: string, name: string, acknowledged: Set<string>): Promise<void> {
  try {
    for (let n = 0; ; n++) {
      const lot = `${name} ${n}`;
      const made = await post(address, "/api/lots", { name: lot, densityGPerCm3: 4 });
      if (made.status !== 201) throw new Error(`a lot was answered with ${made.status}`);
      acknowledged.add(lot);
      const path = `/api/lots/${made.answer.lot.id}/measurements`;
      const brought = await post(address, path, { stage: "milled", text: table.join("\n") });
      if (brought.status !== 201) throw new Error(`a table was answered with ${brought.status}`);
      acknowledged.add(`${lot}|runs`);
    }
  } catch (fault) {
    if (!(fault instanceof TypeError)) throw fault; // fetch throws a TypeError when the server is gone
  }
}
