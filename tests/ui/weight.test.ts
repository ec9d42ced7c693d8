import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const built = fileURLToPath(new URL("../../ui/dist/", import.meta.url));
/** As it travels: the build lays it compressed beside it. */
const weightOf = (path: string) => readFileSync(`${built}${path}.gz`).length;

/** A built module with all it names at its head: what must be there before it can run. */
function withItsModules(path: string, found = new Set<string>()): ReadonlySet<string> {
  if (found.has(path)) return found;
  found.add(path);
  const text = readFileSync(built + path, "utf8");
  for (const [, name] of text.matchAll(/(?:from|import)\s*"\.\/([^"]+\.js)"/g))
    withItsModules(`assets/${name}`, found);
  return found;
}

// The weights asked for are of what travels, gzipped: 60 kB for the first view, 120 kB for a place with all it shows.
// The second is measured in a browser: tests/browser/going.test.ts.
test("the first view, with its styles, weighs under 60 kB", () => {
  const page = readFileSync(`${built}index.html`, "utf8");
  const entry = /src="\.\/(assets\/[^"]+\.js)"/.exec(page)?.[1];
  expect(entry).toBeDefined();
  const styles = readdirSync(`${built}assets`).filter((f) => /\.css$/.test(f));
  const files = ["index.html", ...styles.map((f) => `assets/${f}`), ...withItsModules(entry ?? "")];
  const weight = files.reduce((sum, file) => sum + weightOf(file), 0);
  console.log(`first view: ${weight} bytes in ${files.length} files`);
  expect(files.length).toBeGreaterThan(4);
  expect(weight).toBeLessThan(60_000);
});
