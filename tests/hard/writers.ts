import { rmSync } from "node:fs";
import { copyOfBegun } from "./begun.ts";
import { get, post, startServer } from "./server.ts";

/**
 * Lets many write at once through two servers on one file; each entry must be there once.
 *
 * @param writers  how many write at the same time
 * @param entries  how many lots each keeps
 * @returns        how many are there, how many numbers were given out twice, and every answer that was no "kept"
 */
export async function writeAtOnce(writers: number, entries: number) {
  const folder = await copyOfBegun("writers");
  try {
    const [first, second] = [await startServer(folder), await startServer(folder)];
    const refusals: string[] = [];
    const ids: number[] = [];
    const begun = Date.now();
    await Promise.all(
      Array.from({ length: writers }, async (_, writer) => {
        const { address } = writer % 2 === 0 ? first : second;
        for (let n = 0; n < entries; n++) {
          const lot = { name: `writer ${writer} ${n}`, densityGPerCm3: 4 };
          const { status, answer } = await post(address, "/api/lots", lot, { "idempotency-key": lot.name });
          if (status === 201) ids.push(answer.lot.id);
          else refusals.push(answer.detail);
        }
      }),
    );
    const seconds = (Date.now() - begun) / 1000;
    const { total } = await get(first.address, "/api/lots?search=writer&limit=1");
    const { faults } = await get(second.address, "/api/verify");
    await Promise.all([first.kill(), second.kill()]);
    return {
      wanted: writers * entries,
      kept: total,
      twice: ids.length - new Set(ids).size,
      refusals,
      faults,
      seconds,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
