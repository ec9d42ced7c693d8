import { defineConfig } from "vite";

/** The server and the command line, one file each; packages stay in node_modules. */
export default defineConfig({
  root: new URL(".", import.meta.url).pathname,
  ssr: { external: true },
  build: {
    ssr: true,
    target: "node20",
    outDir: "dist",
    emptyOutDir: true,
    rollupOptions: { input: { main: "api/main.ts", cli: "api/cli.ts" } },
  },
});
