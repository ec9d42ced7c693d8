import { defineConfig } from "vite";

export default defineConfig({
  root: new URL(".", import.meta.url).pathname,
  base: "./",
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: { target: "es2022", outDir: "dist", emptyOutDir: true },
});
