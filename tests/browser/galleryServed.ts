import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build, preview } from "vite";

const root = fileURLToPath(new URL("./gallery/", import.meta.url));
const configFile = fileURLToPath(new URL("../../ui/vite.config.ts", import.meta.url));

/** The gallery as a page of its own, built as the shipped page is: no part of it ships. */
export async function serveGallery(): Promise<{ address: string; stop: () => Promise<void> }> {
  const outDir = mkdtempSync(join(tmpdir(), "fineband-gallery-"));
  const shared = { configFile, root, logLevel: "error", build: { outDir, emptyOutDir: true } } as const;
  await build(shared);
  const server = await preview({ ...shared, preview: { port: 0, host: "127.0.0.1" } });
  const [address] = server.resolvedUrls?.local ?? [];
  if (address === undefined) throw new Error("the gallery is served nowhere");
  return {
    address,
    stop: async () => {
      await server.close();
      rmSync(outDir, { recursive: true, force: true });
    },
  };
}
