import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";

const root = fileURLToPath(new URL("..", import.meta.url));
/** Of what the checks themselves write, the cells are as long as their sources. */
const written = ["validation.md", "references.md"];
const pages = readdirSync(join(root, "docs"), { recursive: true, encoding: "utf8" })
  .filter((path) => path.endsWith(".md") && !written.includes(path))
  .map((path) => ({ path, text: readFileSync(join(root, "docs", path), "utf8") }));
const longestCell = 200;
const sources = new Set(
  ["distributions", "model", "api", "ui", "tests", "docs"].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: "utf8" }).map((path) => basename(path)),
  ),
);

describe("pages written by hand", () => {
  test.each(pages)(
    "$path has no cell above 200 characters: a longer one is prose below a heading",
    ({ text }) => {
      const cells = text
        .split("\n")
        .filter((line) => line.startsWith("|") && !/^[|\s:-]+$/.test(line))
        .flatMap((line) => line.split(/(?<!\\)\|/).map((cell) => cell.trim()));
      expect(cells.filter((cell) => cell.length > longestCell)).toEqual([]);
    },
  );

  test.each(pages)("$path names only files that are there", ({ text }) => {
    const named = [...text.matchAll(/`([\w./-]+\.(?:ts|tsx|mjs))`/g)].map(([, path]) => basename(path ?? ""));
    expect(named.filter((name) => !sources.has(name))).toEqual([]);
  });
});

test("the data model's drawing and fields are what the code says: else run node docs/dataModel.mjs", () => {
  const { stderr, status } = spawnSync(process.execPath, [join(root, "docs/dataModel.mjs"), "--check"], {
    encoding: "utf8",
  });
  expect(stderr).toBe("");
  expect(status).toBe(0);
});
