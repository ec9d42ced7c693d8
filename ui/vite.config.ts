import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { defineConfig, type Plugin } from "vite";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** What a library carries for engines older than ours, and how it words its own faults: 5 kB that no page of ours runs. */
const native: Readonly<Record<string, string>> = {
  "@stdlib/array-float64": "Float64Array",
  "@stdlib/array-uint32": "Uint32Array",
  "@stdlib/array-uint16": "Uint16Array",
  "@stdlib/array-uint8": "Uint8Array",
  "@stdlib/utils-define-property": "Object.defineProperty",
  "@stdlib/string-format": "(template) => template",
};
const mark = "\0native:";
const nativeForms: Plugin = {
  name: "native-forms",
  enforce: "pre",
  resolveId: (id) => (id in native ? mark + id : null),
  load: (id) => (id.startsWith(mark) ? `module.exports = ${native[id.slice(mark.length)]};` : null),
};

/** The builder's own loader fetches styles and modules ahead of a view; ours have neither, so a plain import serves. */
const plainLoader: Plugin = {
  name: "plain-loader",
  enforce: "pre",
  load: (id) =>
    id.includes("vite/preload-helper") ? "export const __vitePreload = (fetchView) => fetchView();" : null,
};

/** Every file once more as it travels: compressed as far as goes, and not while somebody waits for it. */
const travelling: Plugin = {
  name: "travelling",
  writeBundle: ({ dir = "" }, bundle) => {
    for (const file of Object.keys(bundle))
      if (/\.(html|js|css)$/.test(file))
        writeFileSync(join(dir, `${file}.gz`), gzipSync(readFileSync(join(dir, file)), { level: 9 }));
  },
};

export default defineConfig({
  root: here("."),
  base: "./",
  plugins: [nativeForms, plainLoader, travelling],
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  // The package's own modules, so that only the few used are carried; its bundled form cannot be parted.
  resolve: { alias: { "ml-matrix": here("../node_modules/ml-matrix/src/index.js") } },
  build: {
    target: "es2022",
    outDir: "dist",
    emptyOutDir: true,
    modulePreload: false,
    cssCodeSplit: false,
    // What the first view needs travels in two files: many small ones compress worse.
    rolldownOptions: {
      output: {
        codeSplitting: {
          groups: [
            { name: "libraries", tags: ["$initial"], test: /node_modules/ },
            { name: "first", tags: ["$initial"] },
          ],
        },
      },
    },
  },
});
