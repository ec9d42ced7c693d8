import { rmSync } from "node:fs";
import { copyOfBegun } from "./begun.ts";
import { get, post, spawnServer, startServer } from "./server.ts";

/** What came of telling a server to end while it was asked to save. */
export interface Ended {
  /** Requests that had come and were answered that they were saved; what was turned away at the door is no loss. */
  readonly acknowledged: number;
  /** Of those, not there when the server was started again. */
  readonly lost: number;
  /** Requests that had been taken and were never answered, although they were saved. */
  readonly unanswered: number;
  readonly code: number | null;
}

/** @param writes  at once, just before the server is told to end */
export async function endWhileWriting(writes: number): Promise<Ended> {
  const folder = await copyOfBegun("ended");
  const server = spawnServer(folder);
  const code = new Promise<number | null>((resolve) => server.once("exit", resolve));
  const address = await new Promise<string>((resolve) => {
    let heard = "";
    server.stdout.on("data", (data) => {
      heard += String(data);
      const found = /Fineband is at (\S+?)\/?\n/.exec(heard)?.[1];
      if (found !== undefined) resolve(found);
    });
  });
  const names = Array.from({ length: writes }, (_, i) => `Ended ${i}`);
  const answers = names.map((name) =>
    post(address, "/api/lots", { name, material: "garnet", densityGPerCm3: 4, bandId: null, note: "" }).then(
      ({ status }) => (status === 201 ? [name] : []),
      () => [],
    ),
  );
  // Until the first is answered all have come.
  await Promise.race(answers);
  server.kill("SIGTERM");
  const acknowledged = (await Promise.all(answers)).flat();
  const ended = await code;
  const again = await startServer(folder);
  const { lots } = await get(again.address, "/api/lots?search=Ended");
  await again.stop();
  rmSync(folder, { recursive: true, force: true });
  const kept = new Set<string>(lots.map(({ name }: { name: string }) => name));
  return {
    acknowledged: acknowledged.length,
    lost: acknowledged.filter((name) => !kept.has(name)).length,
    unanswered: [...kept].filter((name) => !acknowledged.includes(name)).length,
    code: ended,
  };
}
