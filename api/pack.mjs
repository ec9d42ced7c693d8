// What `npm pack` needs beyond the build: the library with its types in one file each, and the page and the demo's
// files as archives, so that the package has few files. Run by npm itself; writes `dist/`.
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { zipSync } from "fflate";
import { build, loadConfigFromFile } from "vite";

const root = fileURLToPath(new URL("..", import.meta.url));
const out = join(root, "dist");
const entry = "model/fineband.ts";

/** The same folder always makes the same bytes. */
const packedOn = new Date(2026, 0, 1);

function archive(folder, name, isWanted = () => true) {
  const files = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((file) => file.isFile() && isWanted(file.name))
    .map((file) => join(file.parentPath, file.name))
    .sort();
  const held = files.map((path) => [
    relative(folder, path).replaceAll("\\", "/"),
    [readFileSync(path), { level: path.endsWith(".gz") ? 0 : 9, mtime: packedOn }],
  ]);
  writeFileSync(join(out, name), zipSync(Object.fromEntries(held)));
}

function run(script, args) {
  const { status } = spawnSync(process.execPath, [join(root, script), ...args], {
    cwd: root,
    stdio: ["ignore", 2, 2],
  });
  if (status !== 0) throw new Error(`${script} failed, its words are above`);
}

/** Declarations of the library and of all it names, as parts of one file. */
function declarations() {
  const folder = join(root, ".cache", "declarations");
  rmSync(folder, { recursive: true, force: true });
  writeFileSync(
    join(root, ".cache", "library.json"),
    JSON.stringify({
      extends: "../tsconfig.json",
      compilerOptions: {
        noEmit: false,
        incremental: false,
        emitDeclarationOnly: true,
        declaration: true,
        // The kernels are compiled by looser rules; their types were checked by their own.
        noUncheckedIndexedAccess: false,
        rootDir: "..",
        outDir: "declarations",
      },
      files: [`../${entry}`],
    }),
  );
  run("node_modules/typescript/bin/tsc", ["-p", ".cache/library.json"]);
  const partOf = (path) => `fineband:${path.replace(/\.ts$/, "")}`;
  const parts = new Map();
  const take = (path) => {
    if (parts.has(path)) return partOf(path);
    parts.set(path, "");
    const text = readFileSync(join(folder, path.replace(/\.ts$/, ".d.ts")), "utf8");
    const named = text.replace(/((?:from|import\()\s*)"([#.][^"]+)"/g, (_, before, from) => {
      const target = from.startsWith("#") ? from.slice(1) : join(dirname(path), from).replaceAll("\\", "/");
      return `${before}"${take(target)}"`;
    });
    parts.set(path, named.replace(/^(\s*export )?declare /gm, "$1").replace(/^export \{\};\n/m, ""));
    return partOf(path);
  };
  const first = take(entry);
  const modules = [...parts].map(([path, text]) => `declare module "${partOf(path)}" {\n${text}}\n`);
  writeFileSync(join(out, "parts.d.ts"), modules.join(""));
  writeFileSync(
    join(out, "fineband.d.ts"),
    `/// <reference path="./parts.d.ts" />\nexport * from "${first}";\n`,
  );
}

run("api/prepare.mjs", []);
rmSync(out, { recursive: true, force: true });
mkdirSync(out);
if (!existsSync(join(root, ".cache"))) mkdirSync(join(root, ".cache"));
archive(join(root, "ui/dist"), "page.zip");
archive(join(root, "distributions/samples"), "samples.zip", (name) => !name.endsWith(".mjs"));
// What the page leaves out of its libraries the library leaves out too.
const { config: ofPage } = await loadConfigFromFile({}, join(root, "ui/vite.config.ts"));
await build({
  configFile: false,
  root,
  plugins: ofPage.plugins.filter(({ name }) => ["native-forms", "used-of-matrices"].includes(name)),
  resolve: ofPage.resolve,
  logLevel: "warn",
  build: {
    target: "es2022",
    outDir: "dist",
    emptyOutDir: false,
    copyPublicDir: false,
    minify: false,
    lib: { entry, formats: ["es"], fileName: () => "fineband.js" },
  },
});
declarations();
