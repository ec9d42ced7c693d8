import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

/** The server and the command line, one file each; packages stay in node_modules. */
export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  ssr: { external: true },
  build: {
    ssr: true,
    target: "node20",
    outDir: "dist",
    emptyOutDir: true,
    rolldownOptions: {
      input: {
        main: fileURLToPath(new URL("main.ts", import.meta.url)),
        cli: fileURLToPath(new URL("cli.ts", import.meta.url)),
      },
    },
  },
});
