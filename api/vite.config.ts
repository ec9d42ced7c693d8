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
    rolldownOptions: {
      input: {
        main: new URL("main.ts", import.meta.url).pathname,
        cli: new URL("cli.ts", import.meta.url).pathname,
      },
    },
  },
});
