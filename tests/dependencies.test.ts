import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { z } from "zod";

const root = fileURLToPath(new URL("..", import.meta.url));
const json = (path: string): unknown => JSON.parse(readFileSync(root + path, "utf8"));

const named = z.record(z.string(), z.string());
const { dependencies, devDependencies } = z
  .object({ dependencies: named, devDependencies: named })
  .parse(json("package.json"));
const lock = z
  .object({
    packages: z.record(
      z.string(),
      z.object({
        integrity: z.string().optional(),
        hasInstallScript: z.boolean().optional(),
        license: z.string().optional(),
      }),
    ),
  })
  .parse(json("package-lock.json"));
const locked = Object.entries(lock.packages).filter(([path]) => path !== "");

const page = readFileSync(`${root}docs/dependencies.md`, "utf8");
const rowsUnder = (heading: string): (string | undefined)[][] => {
  const [, part = ""] = page.split(`## ${heading}\n`);
  const [own = ""] = part.split("\n## ");
  return [...own.matchAll(/^\| *([@\w][^| ]*) *\| *([^|]+?) *\|/gm)]
    .slice(1)
    .map(([, name, licence]) => [name, licence]);
};

const licenceOf = (name: string) =>
  z.object({ license: z.string() }).parse(json(`node_modules/${name}/package.json`)).license;

test.each([
  [["Installed with the package"], dependencies],
  [["Built into the product", "For the tests and the workshop"], devDependencies],
])("%s: each package has its row, with the licence it states", (headings, packages) => {
  const rows = headings.flatMap(rowsUnder);
  expect(rows.toSorted()).toEqual(
    Object.keys(packages)
      .map((name) => [name, licenceOf(name)])
      .toSorted(),
  );
});

test("each package is pinned, known by its hash, and runs nothing when it is installed", () => {
  for (const version of Object.values({ ...dependencies, ...devDependencies }))
    expect(version).toMatch(/^\d+\.\d+\.\d+$/);
  for (const [path, { integrity, hasInstallScript }] of locked) {
    expect(integrity, path).toMatch(/^sha512-/);
    expect(hasInstallScript ?? false, path).toBe(false);
  }
});

test("the licences of all that comes along are among those the page names", () => {
  const known = /^(MIT|ISC|BSD-3-Clause|0BSD|BlueOak-1\.0\.0|Apache-2\.0|BSL-1\.0|MPL-2\.0)$/;
  for (const [path, { license }] of locked)
    for (const one of (license ?? "none").split(/ (?:OR|AND) /)) expect(one, path).toMatch(known);
});

test("the lock names no address: packages come from where npm is set to look", () => {
  expect(readFileSync(`${root}package-lock.json`, "utf8")).not.toContain('"resolved"');
});

/**
 * Each package that the design names, from a test down to the file that takes from it: who took the package out would
 * have to change that file, and the test comes by it. The browser's tests build what they open.
 */
test.each([
  ["hono", ["tests/api/saved.ts", "api/app.ts"]],
  ["preact", ["tests/browser/gallery/main.tsx"]],
  [
    "uplot",
    ["tests/browser/gallery/main.tsx", "tests/browser/gallery/gallery.tsx", "ui/charts/lineChart.tsx"],
  ],
  ["simple-statistics", ["tests/model/lot/runs.test.ts", "model/lot/overRuns.ts"]],
  [
    "ml-levenberg-marquardt",
    ["tests/model/fit/leastSquares.test.ts", "model/fit/leastSquares.ts", "model/fit/packageRound.ts"],
  ],
  ["vitest", ["tests/dependencies.test.ts"]],
])("%s: a test comes by what it does for the product", (name, path) => {
  for (const [i, file] of path.entries()) {
    const next = path[i + 1];
    const wanted = next === undefined ? `${name}(/[\\w-]+)?` : `[^"]*${basename(next).replace(".", "\\.")}`;
    expect(readFileSync(root + file, "utf8"), file).toMatch(
      new RegExp(`^import (?!type )[^;]*from "${wanted}";|import\\("${wanted}"\\)`, "m"),
    );
  }
});
