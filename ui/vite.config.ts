import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { defineConfig, type Plugin } from "vite";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** What a library carries for engines older than ours, and how it words its own faults: 10 kB that the engine has anyway. */
const native: Readonly<Record<string, string>> = {
  "@stdlib/array-float64": "Float64Array",
  "@stdlib/array-uint32": "Uint32Array",
  "@stdlib/array-uint16": "Uint16Array",
  "@stdlib/array-uint8": "Uint8Array",
  "@stdlib/utils-define-property": "Object.defineProperty",
  "@stdlib/string-format": "(template) => template",
  "@stdlib/math-base-special-exp": "Math.exp",
  "@stdlib/math-base-special-pow": "Math.pow",
  "@stdlib/math-base-special-sin": "Math.sin",
};
const mark = "\0native:";
const nativeForms: Plugin = {
  name: "native-forms",
  enforce: "pre",
  resolveId: (id) => (id in native ? mark + id : null),
  load: (id) => (id.startsWith(mark) ? `module.exports = ${native[id.slice(mark.length)]};` : null),
};

/** Methods of a matrix that no step of the fit calls. */
const unusedOfMatrix = [
  "rowVector|columnVector|rand|randInt|min|max|applyAlongAxis|is(?:Row|Column)?Vector|isEmpty|isDistance",
  "is(?:Reduced)?EchelonForm|echelonForm|reducedEchelonForm|repeat|neg|(?:get|set|swap)(?:Row|Column)s?(?:Vector)?",
  "(?:add|sub|mul|div)(?:Row|Column)Vector|mul(?:Row|Column)|(?:max|min)(?:Row|Column)?(?:Index)?|diag|norm|cumulativeSum",
  "dot|gram|transposeMultiply|mpow|strassen\\w+|mmulStrassen|(?:scale|flip|sort)(?:Rows|Columns)|kronecker\\w+",
  "subMatrixColumn|setSubMatrix|concat|selection|trace|sum|product|mean|variance|standardDeviation|center",
  "(?:remove|add)(?:Row|Column)|toJSON|toString",
].join("|");

/** What the curve fitter asks of its matrix package; the rest of these files, 9 kB, never runs: it meets square matrices alone. */
const usedOfMatrices: Plugin = {
  name: "used-of-matrices",
  enforce: "pre",
  load: (id) =>
    /ml-matrix\/src\/dc\/(svd|qr)\.js$|ml-array-rescale/.test(id) ? "export default null;" : null,
  transform: (code, id) => {
    if (id.endsWith("ml-matrix/src/inspect.js"))
      return code.replace(/^export function (\w+)[\s\S]*?^}$/gm, "export const $1 = null;");
    if (id.endsWith("ml-matrix/src/matrix.js"))
      return code.replace(new RegExp(`^ {2}(?:static )?(?:${unusedOfMatrix})\\([^]*?^ {2}\\}$`, "gm"), "");
    if (id.endsWith("ml-matrix/src/stat.js"))
      return code.replace(/^export function (?!scaleByRow\b)(\w+)[\s\S]*?^}$/gm, "export const $1 = null;");
    if (id.endsWith("ml-matrix/src/mathOperations.js"))
      return code.replace(/^ {2}AbstractMatrix\.(?!prototype\.(add|mul)[SM]? )[\s\S]*?^ {2}};$/gm, "");
    return null;
  },
};

/** Charts here are of straight lines over numbers: steps, bars, splines, joined tables and the ticks of clock and calendar, 5 kB of the chart library, never run. */
const usedOfCharts: Plugin = {
  name: "used-of-charts",
  enforce: "pre",
  transform: (code, id) =>
    id.endsWith("uPlot.esm.js")
      ? code
          .replace(
            /^\s*\(paths\.(stepped|bars|spline) .*$|^\s*uPlot\.(join|addGap|clipGaps|rangeAsinh|fmtDate|tzDate) .*$/gm,
            "",
          )
          .replace(/^const months = [\s\S]*?(?=^\/\/export const series)/m, "const fmtDate = () => null;\n")
          .replace(/^function genTimeStuffs[\s\S]*?^}$/m, "const genTimeStuffs = () => [[], [], () => null];")
      : null,
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
  plugins: [nativeForms, usedOfMatrices, usedOfCharts, plainLoader, travelling],
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  // The package's own modules, so that only the few used are carried; its bundled form cannot be parted.
  resolve: { alias: { "ml-matrix": here("../node_modules/ml-matrix/src/index.js") } },
  build: {
    target: "es2022",
    outDir: "dist",
    emptyOutDir: true,
    modulePreload: false,
    cssCodeSplit: false,
    // What the first view needs travels in two files, and the fields of the other views in one: many small ones compress worse.
    rolldownOptions: {
      // How long each part of a build took is no warning.
      checks: { pluginTimings: false },
      output: {
        codeSplitting: {
          includeDependenciesRecursively: false,
          groups: [
            { name: "libraries", tags: ["$initial"], test: /node_modules/ },
            { name: "first", tags: ["$initial"] },
            { name: "fields", test: /ui\/parts\/(numberField|textField|wide)/ },
            // The plan's frame, parts of which its later sections take too.
            {
              name: "plan",
              test: /ui\/pages\/wheelPlan\/(wheel(Entries|Controls|Product|Plan)?|inBandMap(State|Words|Drawing)?|predicted|product|plan(Numbers|Pictures)|refiring|priors|pictureHeight|showProduct|numberRow)\.ts|model\/(mill\/prediction|pictures\/(inBandMap|contours)\.ts|answers\/mill\/wheel(Headline|Numbers))/,
            },
            // What is changed and drawn below a frame.
            { name: "changes", test: /ui\/(parts\/withReason|data\/saving|charts\/(picture|line))/ },
          ],
        },
      },
    },
  },
});
