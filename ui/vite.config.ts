import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  base: "./",
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: { target: "es2022", outDir: "dist", emptyOutDir: true },
});
