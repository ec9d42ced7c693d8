import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";

const root = fileURLToPath(new URL("..", import.meta.url));

/** Which folder may import from which; `ui` sees `api` only as a type. */
const allowed: Record<string, readonly string[]> = {
  distributions: ["distributions"],
  model: ["distributions", "model"],
  api: ["distributions", "model", "api"],
  ui: ["distributions", "model", "ui"],
};
const folders = Object.keys(allowed);

/**
 * The rooms of each folder from the ground up: a file takes from its own room and from those before it.
 * A file that is named here is a room of its own.
 */
const rooms: Record<string, readonly string[]> = {
  distributions: [
    "",
    "families",
    "tables/text",
    "tables/layout",
    "tables/saying",
    "tables/evidence",
    "tables/values",
  ].concat(["tables/copies", "tables/workbook", "tables/reading", "tables"]),
  model: [
    "words",
    "numbers",
    "mill/gas",
    "mill/separation",
    "lot",
    "band",
    "release",
    "compare",
    "fit",
    "surface",
    "intake",
    "fines",
  ]
    .concat([
      "factors",
      "mill",
      "mill/wheel",
      "mill/trials",
      "mill/streams",
      "mill/grinding",
      "mill/pressure",
    ])
    .concat([
      "mill/prediction",
      "chain",
      "pictures",
      "answers/surface",
      "answers/lot",
      "answers/compare",
      "answers/mill",
    ])
    .concat(["answers/factors", "answers/report", "fineband.ts"]),
  api: [
    "version.ts",
    "faults.ts",
    "archive.ts",
    "records",
    "contract",
    "settings.ts",
    "places.ts",
    "queries",
    "report",
    "access",
    "pool",
    "store/database",
    "store/signing",
    "store/ledger",
    "store/entries",
  ].concat([
    "store/transfer",
    "store",
    "demoFiles.ts",
    "demo.ts",
    "labs.ts",
    "openSaved.ts",
    "intake",
    "routes",
    "commands",
    "",
  ]),
  ui: ["data", "parts", "charts", "shell", "pages/import", "pages/bands", "pages/process"].concat([
    "pages/equipment",
    "pages/wheelPlan",
    "pages/compare",
    "pages/lot",
    "pages/lots",
    "pages/changeHistory",
    "",
  ]),
};
const isPure = (folder: string) => folder === "distributions" || folder === "model";
const purePackages =
  /^(simple-statistics|yalps|ml-levenberg-marquardt|papaparse|fflate|read-excel-file\/universal|@stdlib\/.+)$/;
const impureNames = /\b(Math\.random|Date|process|document|window|globalThis|performance)\b/;

/** Type assertions silence the checker; each one stands here to be argued about. */
const maxCasts = 0;

/** Type names that stand in two files for a reason; each one is argued about here. */
const declaredTwice: readonly string[] = [];

const strings = /"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`[^`$]*`/g;

function sourcesIn(folder: string): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return entry.name === "dist" || entry.name === "data" ? [] : sourcesIn(path);
    return /\.tsx?$/.test(entry.name) && !entry.name.endsWith(".config.ts") ? [path] : [];
  });
}

const files = folders.flatMap(sourcesIn).map((path) => {
  const text = readFileSync(join(root, path), "utf8");
  const code = text.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(^|\s)\/\/.*$/gm, "$1");
  return { path, folder: path.split("/")[0] ?? "", code };
});

function importsOf(code: string): { isType: boolean; from: string }[] {
  const written = /(?:^|\n)\s*(?:import|export)\s+(type\s)?(?:[^;"']*?\sfrom\s+)?["']([^"']+)["']/g;
  const whileRunning = /\b()import\(\s*["'`]([^"'`]+)/g;
  return [...code.matchAll(written), ...code.matchAll(whileRunning)].map((m) => ({
    isType: Boolean(m[1]),
    from: m[2] ?? "",
  }));
}

/** The file an import names, from the root of the house. */
function targetOf(path: string, from: string): string {
  return from.startsWith("#") ? from.slice(1) : normalize(join(dirname(path), from));
}

/** Hot loops stand in the cellar of the room that runs them. */
const isKernel = (path: string) => /\/kernels\/[^/]+$/.test(path);

/** How far up a file stands among the rooms of its folder; −1 where it stands in none. */
function heightOf(path: string): number {
  if (isKernel(path)) return heightOf(path.replace("/kernels/", "/")) - 0.5;
  const [folder = "", ...rest] = path.split("/");
  const inside = rest.join("/");
  const list = rooms[folder] ?? [];
  const own = list.indexOf(inside);
  return own >= 0 ? own : list.indexOf(rest.slice(0, -1).join("/"));
}

describe("the walls of the house", () => {
  test("each file imports only from the folders it may", () => {
    // What the page shows of the program's own texts: its version, and the formulas as the docs have them.
    const texts = ["package.json", "docs/science.md?raw"];
    const wrong = files.flatMap(({ path, folder, code }) =>
      importsOf(code).flatMap(({ isType, from }) => {
        const isOurs = from.startsWith("#") || from.startsWith(".");
        if (!isOurs)
          return isPure(folder) && !purePackages.test(from) ? [`${path} imports the package ${from}`] : [];
        const target = targetOf(path, from);
        const targetFolder = target.split("/")[0] ?? "";
        if (texts.includes(target)) return [];
        if (folder === "ui" && targetFolder === "api")
          return isType ? [] : [`${path} may take only types from ${from}`];
        return allowed[folder]?.includes(targetFolder) ? [] : [`${path} imports ${from}`];
      }),
    );
    expect(files.length).toBeGreaterThan(400);
    expect(wrong).toEqual([]);
  });

  test("each file stands in a room, and takes only from its own and from those below", () => {
    const wrong = files.flatMap(({ path, folder, code }) => {
      const own = heightOf(path);
      if (own <= -1) return [`${path} stands in no room`];
      return importsOf(code)
        .filter(({ from }) => from.startsWith("#") || from.startsWith("."))
        .map(({ from }) => targetOf(path, from))
        .filter((target) => target.startsWith(`${folder}/`) && heightOf(target) > own)
        .map((target) => `${path} takes from ${target}, which stands above it`);
    });
    expect(wrong).toEqual([]);
  });

  test("kernels hold pure functions only and take from kernels and packages only", () => {
    const wrong = files
      .filter(({ path }) => isKernel(path))
      .flatMap(({ path, code }) => {
        const taken = importsOf(code)
          .map(({ from }) => (purePackages.test(from) ? "/kernels/package" : targetOf(path, from)))
          .filter((target) => !isKernel(target))
          .map((target) => `${path} takes from ${target}`);
        // What stands at the left edge of a file, but for the ends of what began above.
        const held = [...code.matchAll(/^[^\s}\])].*$/gm)]
          .map(([line]) => line)
          .filter(
            (line) => !/^(import|(export )?function|export (interface|type)|type|interface)\b/.test(line),
          )
          .map((line) => `${path} holds ${line}`);
        return [...taken, ...held];
      });
    expect(wrong).toEqual([]);
  });

  test("only kernels may take what an index gives without asking whether it is there", () => {
    const within = [...folders, "tests"].flatMap((folder) =>
      readdirSync(join(root, folder), { recursive: true, encoding: "utf8" }).map(
        (path) => `${folder}/${path}`,
      ),
    );
    const settings = [...readdirSync(root), ...within].filter((path) => /tsconfig[^/]*\.json$/.test(path));
    const read = settings.map((path) => ({ path, text: readFileSync(join(root, path), "utf8") }));
    const setting = /"noUncheckedIndexedAccess": (true|false)/;
    expect(
      read.flatMap(({ path, text }) => setting.exec(text)?.[1]?.concat(` in ${path}`) ?? []).sort(),
    ).toEqual(["false in model/tsconfig.kernels.json", "true in tsconfig.json"]);
    const kernels = read.find(({ path }) => path === "model/tsconfig.kernels.json")?.text;
    expect(kernels).toContain('"include": ["../distributions/**/kernels/*.ts", "../model/**/kernels/*.ts"]');
    for (const part of ["distributions", "model"])
      expect(read.find(({ path }) => path === `${part}/tsconfig.json`)?.text).toContain(
        '"exclude": ["**/kernels"]',
      );
  });

  test("no files import each other in a circle", () => {
    const taken = new Map(
      files.map(({ path, code }) => [path, importsOf(code).map(({ from }) => targetOf(path, from))]),
    );
    const done = new Set<string>();
    const walk = (path: string, way: readonly string[]): string[] => {
      if (way.includes(path)) return [[...way.slice(way.indexOf(path)), path].join(" → ")];
      if (done.has(path)) return [];
      const circles = (taken.get(path) ?? []).flatMap((next) => walk(next, [...way, path]));
      done.add(path);
      return circles;
    };
    expect([...taken.keys()].flatMap((path) => walk(path, []))).toEqual([]);
  });

  test("distributions and model read no clock, chance, process or page", () => {
    const wrong = files
      .filter(({ folder }) => isPure(folder))
      .flatMap(({ path, code }) => {
        // To ask whether a value is a date reads no clock.
        const found = impureNames.exec(code.replace(strings, '""').replaceAll("instanceof Date", ""));
        return found === null ? [] : [`${path}: ${found[0]}`];
      });
    expect(wrong).toEqual([]);
  });

  test("an exported type name is declared once: one name, one meaning", () => {
    const declared = new Map<string, string[]>();
    for (const path of [...folders, "tests"].flatMap(sourcesIn))
      for (const [, name = ""] of readFileSync(join(root, path), "utf8").matchAll(
        /^export (?:declare )?(?:interface|type|class|enum) ([A-Za-z_]\w*)/gm,
      ))
        declared.set(name, [...(declared.get(name) ?? []), path]);
    expect(declared.size).toBeGreaterThan(200);
    const twice = [...declared].filter(([name, paths]) => paths.length > 1 && !declaredTwice.includes(name));
    expect(twice).toEqual([]);
  });

  test("there are no barrel files and no drawer for odds and ends", () => {
    for (const { path } of files) expect(path).not.toMatch(/(^|\/)(index\.tsx?|utils?|helpers?)(\/|$|\.)/);
  });

  test(`type assertions stay at ${maxCasts} or fewer`, () => {
    const toType =
      /\sas\s+(?!const\b)([A-Z]\w*|string|number|boolean|unknown|never|any|object|keyof|typeof|readonly|\{|\[|\()/g;
    const casts = files.flatMap(({ path, code }) =>
      [
        ...code
          .replace(/import[^;(]*;/g, "")
          .replace(strings, '""')
          .matchAll(toType),
      ].map((m) => `${path}: ${m[0]}`),
    );
    expect(casts.length, casts.join("\n")).toBeLessThanOrEqual(maxCasts);
  });
});
