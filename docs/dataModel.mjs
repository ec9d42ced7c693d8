// Draws docs/data-model.svg and writes the fields into docs/data-model.md, from what the code says is kept:
// `node docs/dataModel.mjs`. With --check nothing is written, and what is no longer as the code says is named.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { drawing } from "./data-model/draw.mjs";
import { readDataModel } from "./data-model/readKinds.mjs";

const root = fileURLToPath(new URL("..", import.meta.url));
const page = join(root, "docs/data-model.md");
const picture = join(root, "docs/data-model.svg");
const marks = [
  "<!-- From here on written by docs/dataModel.mjs. -->",
  "<!-- End of what docs/dataModel.mjs writes. -->",
];

const { kinds, tables } = await readDataModel(root);
const svg = drawing([
  {
    title: "Kinds of entry",
    note: "One box a kind. A line leads from the field that names an entry to that entry. “?” may be empty, “…” is a list.",
    boxes: kinds,
  },
  {
    title: "Tables of the database",
    note: "The events and their changes are the record; the entries are what follows from it. Every entry above is one row of “entries”, its fields in “body”.",
    boxes: tables,
  },
]);

const escaped = (text) => text.replaceAll("|", "\\|");
function table(fields) {
  const rows = fields.map(({ name, type, note, refersTo }) => [
    `\`${name}\``,
    escaped(
      refersTo === null
        ? type
        : `${type}; names ${type.startsWith("list") ? "entries" : "an entry"} of ${refersTo}`,
    ),
    escaped(note),
  ]);
  const hasNotes = rows.some(([, , note]) => note !== "");
  const all = [["field", "holds", "meaning"], ...rows].map((cells) => (hasNotes ? cells : cells.slice(0, 2)));
  const widths = all[0].map((_, i) => Math.max(3, ...all.map((cells) => cells[i].length)));
  const line = (cells) => `| ${cells.map((cell, i) => cell.padEnd(widths[i])).join(" | ")} |`;
  return [line(all[0]), line(widths.map((width) => "-".repeat(width))), ...all.slice(1).map(line)].join("\n");
}
const section =
  (level) =>
  ({ name, note, fields }) =>
    [`${level} ${name}`, note, table(fields)].filter((part) => part !== "").join("\n\n");
const fields = [
  "## Fields of each kind",
  ...kinds.map(section("###")),
  "## Columns of the tables",
  ...tables.map(section("###")),
].join("\n\n");

const before = readFileSync(page, "utf8");
const [start, end] = marks.map((mark) => before.indexOf(mark));
if (start < 0 || end < start) throw new Error(`docs/data-model.md lacks the marks ${marks.join(" and ")}`);
const text = `${before.slice(0, start)}${marks[0]}\n\n${fields}\n\n${before.slice(end)}`;

for (const [path, wanted] of [
  [page, text],
  [picture, svg],
]) {
  if (!process.argv.includes("--check")) writeFileSync(path, wanted);
  else if (readFileSync(path, "utf8") !== wanted) {
    console.error(
      `${path.slice(root.length)} is not what the code says; write it anew with: node docs/dataModel.mjs`,
    );
    process.exitCode = 1;
  }
}
