import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const assets = fileURLToPath(new URL("../../api/dist/assets/", import.meta.url));
const files = readdirSync(assets);

/** A built module with all that is loaded before it can run. */
function withItsModules(name: string, found = new Map<string, string>()): ReadonlyMap<string, string> {
  if (found.has(name)) return found;
  const text = readFileSync(assets + name, "utf8");
  found.set(name, text);
  for (const [, next = ""] of text.matchAll(/(?:from|import)\s*"\.\/([^"]+\.js)"/g))
    withItsModules(next, found);
  return found;
}

// A verb that reads tables alone starts in a third of a second because neither the store nor the schemas come along: what
// a group of the build takes in wrongly would bring all of it. Measured: 1.2 MB of text.
test("what answers about tables alone loads neither the store nor the schema library", () => {
  const verb = files.find((name) => name.startsWith("tables-")) ?? "";
  const loaded = withItsModules(verb);
  const size = [...loaded.values()].reduce((sum, text) => sum + text.length, 0);
  expect([...loaded.keys()].filter((name) => /^(lab|labs|kinds|schemas|mill)-/.test(name))).toEqual([]);
  expect(loaded.size).toBeGreaterThan(8);
  expect(size).toBeLessThan(1_400_000);
});
