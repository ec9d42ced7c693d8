// Which test files reach which source files by their imports, and over how many steps.
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { parseSync, Visitor } from "vite";

/** In a browser; or minutes of random tables and simulations that hold only loose bounds. */
const leftOut = /^tests\/(browser|fuzz)\/|imulations\.test\.ts$/;

/** Paths below the root that a file takes values from. */
function importsOf(root, path) {
  const { program } = parseSync(path, readFileSync(join(root, path), "utf8"), {
    lang: path.endsWith("x") ? "tsx" : "ts",
  });
  const from = [];
  const add = (source) => {
    if (typeof source?.value !== "string") return;
    if (source.value.startsWith("#")) from.push(source.value.slice(1));
    else if (source.value.startsWith("."))
      from.push(relative(root, resolve(root, dirname(path), source.value)).replaceAll("\\", "/"));
  };
  new Visitor({
    ImportDeclaration: (node) => node.importKind !== "type" && add(node.source),
    ExportAllDeclaration: (node) => node.exportKind !== "type" && add(node.source),
    ExportNamedDeclaration: (node) => node.exportKind !== "type" && add(node.source),
    ImportExpression: (node) => add(node.source),
  }).visit(program);
  return from.filter((target) => /\.tsx?$/.test(target) && existsSync(join(root, target)));
}

/**
 * @returns {Map<string, { test: string, far: number }[]>} for each source file the tests that import it, and how
 *          directly. Tests in a browser and long simulations are left out.
 */
export function testsByFile(root) {
  const tests = readdirSync(join(root, "tests"), { recursive: true })
    .map((path) => `tests/${path.replaceAll("\\", "/")}`)
    .filter((path) => /\.test\.tsx?$/.test(path) && !leftOut.test(path));
  const known = new Map();
  const imports = (path) => {
    if (!known.has(path)) known.set(path, importsOf(root, path));
    return known.get(path);
  };
  const steps = new Map();
  for (const test of tests) {
    const seen = new Map([[test, 0]]);
    const queue = [test];
    for (const path of queue)
      for (const next of imports(path))
        if (!seen.has(next)) {
          seen.set(next, seen.get(path) + 1);
          queue.push(next);
        }
    for (const [path, far] of seen) {
      if (!steps.has(path)) steps.set(path, []);
      steps.get(path).push({ test, far });
    }
  }
  return steps;
}
