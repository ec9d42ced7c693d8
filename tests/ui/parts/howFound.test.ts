import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { familyNames } from "#distributions/families/family.ts";
import { formulaRow } from "#ui/parts/familyName.ts";
import { formulasOf, rowsOfHeadings } from "#ui/parts/tableRows.ts";

const root = fileURLToPath(new URL("../../..", import.meta.url));
const rows = formulasOf(readFileSync(`${root}docs/science.md`, "utf8"));

test("the tables of formulas read as rows: bars inside a cell stay, the column for the code's readers goes", () => {
  const rosin = rows.find((row) => row.what === "Rosin–Rammler");
  expect(rosin?.said[0]).toEqual({ heading: "undersize Q(x)", text: "1 − exp(−(x/x′)^n)" });
  expect(rows.find((row) => row.what === "log-logistic")?.said[1]?.text).toContain("|k| < m");
  expect(rows.flatMap((row) => row.said).map((s) => s.heading)).not.toContain("code");
});

test("a heading with a list reads as a row does: prose first, other names apart, the file for the code's readers gone", () => {
  const markdown = [
    "# Title",
    "",
    "Prose alone is no formula.",
    "",
    "### wheel cut",
    "",
    "The size at the rim.",
    "",
    "- **also called:** cut; cut size",
    "- **formula:** x² = a |b|, see `cut.ts`",
    "- **code:** `cut.ts`",
    "",
    "## Next",
    "",
    "- an item without a label",
  ].join("\n");
  expect(rowsOfHeadings(markdown)).toEqual([
    {
      what: "wheel cut",
      also: ["cut", "cut size"],
      said: [
        { heading: "what it is", text: "The size at the rim." },
        { heading: "formula", text: "x² = a |b|, see cut.ts" },
      ],
    },
  ]);
});

test("no two formulas of docs/science.md have one name", () => {
  const names = rows.flatMap((row) => [row.what, ...row.also]);
  expect(names.filter((name, at) => names.indexOf(name) !== at)).toEqual([]);
});

test("every number on the page that says how it is found has its row in docs/science.md", () => {
  const files = readdirSync(`${root}ui`, { recursive: true, encoding: "utf8" }).filter((f) =>
    f.endsWith(".tsx"),
  );
  const named = files.flatMap((file) => {
    const text = readFileSync(`${root}ui/${file}`, "utf8");
    const single = [...text.matchAll(/\bhow="([^"]+)"/g)].map(([, what]) => what ?? "");
    const lists = [
      ...text.matchAll(/of=\{\[([^\]]*)\]\}/g),
      ...text.matchAll(/\bhowOf:[^{;]*= \{([^}]*)\}/g),
    ].flatMap(([, list]) => [...(list ?? "").matchAll(/"([^"]+)"/g)].map(([, what]) => what ?? ""));
    return [...single, ...lists];
  });
  expect(named.length).toBeGreaterThan(15);
  const known = new Set(rows.flatMap((row) => [row.what, ...row.also]));
  expect([...named, ...familyNames.map(formulaRow)].filter((what) => !known.has(what))).toEqual([]);
});
