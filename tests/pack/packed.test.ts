import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, posix } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { build } from "vite";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { z } from "zod";
import { serverAddress } from "./serverAddress.ts";

/** `npm run hard` packs, installs and runs; every test run looks at what would be packed. */
const isWhole = process.env["FINEBAND_HARD"] === "whole";
const root = fileURLToPath(new URL("../..", import.meta.url));

function run(command: string, words: readonly string[], cwd: string, more: Record<string, string> = {}) {
  const { status, stdout, stderr } = spawnSync(command, [...words], {
    cwd,
    encoding: "utf8",
    env: { ...process.env, ...more },
  });
  return { status, stdout, stderr };
}

const listed = z.array(
  z.object({ filename: z.string(), size: z.number(), files: z.array(z.object({ path: z.string() })) }),
);

test("what would be packed are the program, its documents and nothing of the tests or sources", () => {
  const { stdout } = run("npm", ["pack", "--dry-run", "--json", "--ignore-scripts"], root);
  const paths = listed.parse(JSON.parse(stdout)).flatMap(({ files }) => files.map(({ path }) => path));
  expect(paths).toContain("api/dist/cli.js");
  expect(
    paths.filter((path) => !/^(api\/(bin\.cjs|dist\/)|dist\/|docs\/|README\.md|package\.json)/.test(path)),
  ).toEqual([]);
  // The guide's client is to be read and copied.
  expect(paths.filter((path) => /test|\.tsx?$/.test(path.replace(/\.d\.ts$/, "")))).toEqual([
    "docs/guide/client.ts",
  ]);
  expect(deadLinks(paths)).toEqual([]);
  expect(paths.length).toBeLessThanOrEqual(100);
}, 60_000);

/** Links of the packed documents that lead to no packed file, as "page: link". */
function deadLinks(paths: readonly string[]): string[] {
  return paths
    .filter((path) => path.endsWith(".md"))
    .flatMap((path) => {
      const links = [...readFileSync(join(root, path), "utf8").matchAll(/\]\(([^)#\s]+)/g)].map(
        ([, to = ""]) => to,
      );
      const local = links.filter((to) => !/^https?:/.test(to));
      return local
        .filter((to) => !paths.includes(posix.normalize(posix.join(posix.dirname(path), to))))
        .map((to) => `${path}: ${to}`);
    });
}

describe.runIf(isWhole)("the package, installed in a clean folder with blanks in its name", () => {
  const folder = isWhole ? mkdtempSync(join(tmpdir(), "fineband from a package ")) : "";
  const prefix = join(folder, "prefix");
  const home = join(folder, "home");
  const bin = join(prefix, "bin", "fineband");
  let archive = "";
  beforeAll(() => {
    mkdirSync(home);
    const packed = run("npm", ["pack", "--json", "--pack-destination", folder], root);
    const [one] = listed.parse(JSON.parse(packed.stdout));
    expect(one?.size).toBeLessThan(5e6);
    expect(one?.files.length).toBeLessThanOrEqual(100);
    archive = join(folder, one?.filename ?? "");
    expect(run("npm", ["i", "-g", "--prefix", prefix, archive], folder).status).toBe(0);
  }, 600_000);
  afterAll(() => rmSync(folder, { recursive: true }));

  test("fineband answers, from the demo too, and keeps its labs with the person", () => {
    const env = { HOME: home, XDG_DATA_HOME: "", INIT_CWD: folder };
    expect(run(bin, ["version"], folder, env).stdout).toMatch(/^\d+\.\d+\.\d+\n$/);
    expect(run(bin, ["where"], folder, env).stdout).toContain(join(home, ".local/share/fineband"));
    const table = join(root, "distributions/samples/lots/garnet-07/re-fired.csv");
    const described = run(bin, ["describe", table, "--json"], folder, env);
    expect(described.status).toBe(0);
    expect(run(bin, ["check", "--lot", "Garnet host, lot 07"], folder, env).stdout).toMatch(
      /^In band, six runs/,
    );
    expect(statSync(join(home, ".local/share/fineband/demo.sqlite")).size).toBeGreaterThan(10_000);
    expect(
      run("npx", ["--yes", "--package", `./${basename(archive)}`, "fineband", "version"], folder, env).stdout,
    ).toMatch(/^\d/);
  }, 600_000);

  test("fineband serve gives the page and the API", async () => {
    const server = await serverAddress(bin, [
      "serve",
      "--port",
      "0",
      "--data",
      join(folder, "data of the lab"),
    ]);
    try {
      const page = await (await fetch(server.address)).text();
      expect(page).toContain("<title>");
      const [script = ""] = /assets\/[\w.-]+\.js/.exec(page) ?? [];
      expect((await fetch(server.address + script)).status).toBe(200);
      expect((await fetch(`${server.address}api/health`)).status).toBe(200);
      expect((await fetch(`${server.address}api/lots`)).status).toBe(200);
    } finally {
      server.stop();
    }
  }, 600_000);

  test("the library imports in Node with its types, and describe alone is under 40 kB compressed", async () => {
    const project = join(folder, "project");
    mkdirSync(project);
    writeFileSync(join(project, "package.json"), '{ "type": "module" }');
    expect(run("npm", ["i", archive], project).status).toBe(0);
    const page = readFileSync(join(root, "docs/api.md"), "utf8");
    for (const [index, [, code = ""]] of [...page.matchAll(/```js\n([\s\S]*?)```/g)].entries()) {
      const path = join(project, `${index}.js`);
      writeFileSync(path, `const print = console.log;\n${code}`);
      const ran = run(process.execPath, [path], join(root, "distributions/samples"));
      expect(ran.stderr).toBe("");
    }
    const typed =
      'import { describe, readTable } from "fineband";\nconst read = readTable("", null, {});\nexport const d50: number | null | undefined = describe(read.measurements, {}).lots[0]?.percentilesUm["50"]?.value;\n// @ts-expect-error an option that there is not\ndescribe([], { nothing: 1 });\n';
    writeFileSync(join(project, "typed.ts"), typed);
    const tsc = join(root, "node_modules/typescript/bin/tsc");
    for (const module of ["nodenext", "preserve"])
      expect(
        run(
          process.execPath,
          [tsc, "--noEmit", "--strict", "--module", module, "--target", "es2022", "--types", "", "typed.ts"],
          project,
        ).stdout,
      ).toBe("");
    writeFileSync(join(project, "describe.js"), 'export { describe } from "fineband";\n');
    const built = await build({
      configFile: false,
      root: project,
      logLevel: "error",
      build: { write: false, minify: true, target: "es2022", lib: { entry: "describe.js", formats: ["es"] } },
    });
    const code = (Array.isArray(built) ? built : []).flatMap(({ output }) =>
      output.map((part) => ("code" in part ? part.code : "")),
    );
    expect(code).toHaveLength(1);
    expect(gzipSync(code.join("")).length).toBeLessThan(40_000);
  }, 600_000);
});
