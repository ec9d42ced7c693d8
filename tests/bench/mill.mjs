// The model's part of the wheel plan, bundled as the page is and timed here: no browser, no drawing.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "vite";

const root = fileURLToPath(new URL("../..", import.meta.url));

export async function benchMill(turns = 15) {
  const folder = mkdtempSync(join(tmpdir(), "fineband-bench-mill-"));
  await build({
    configFile: false,
    root,
    logLevel: "error",
    build: { ssr: "tests/bench/mill.ts", outDir: folder, emptyOutDir: true },
    ssr: { noExternal: true },
  });
  const { timeMill } = await import(pathToFileURL(join(folder, "mill.js")).href);
  for (const { name, ms } of timeMill(join(root, "distributions/samples"), turns)) {
    const sorted = [...ms].sort((a, b) => a - b);
    const of = (p) => sorted[Math.floor(p * (sorted.length - 1))].toFixed(1);
    console.log(`${name}: best ${of(0)} ms, median ${of(0.5)} ms of ${turns}`);
  }
  rmSync(folder, { recursive: true, force: true });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await benchMill();
