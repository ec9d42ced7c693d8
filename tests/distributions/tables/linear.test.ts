import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";

// No text may keep the reader busy longer than its length warrants: every expression that looks at cells, headings and notes
// is tried on long repeats of what it looks for, taken from its own source, ended by a sign that spoils the match.
const folder = fileURLToPath(new URL("../../../distributions/tables", import.meta.url));

const sources = readdirSync(folder, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".ts"))
  .map((name) => readFileSync(join(folder, name), "utf8"));

/** The expressions of the reader as they are written, and the texts that some are put together from. */
const expressions = sources.flatMap((source) => [
  ...[
    ...source.matchAll(/(?<=[=(,:[!&|?\s])\/(?![/*])((?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n])+)\/[dgimsuy]*/g),
  ].map((m) => m[1] ?? ""),
  ...[...source.matchAll(/"((?:\\.|[^"\\\n])*\\\\[sdbp](?:\\.|[^"\\\n])*)"/g)].map((m) =>
    (m[1] ?? "").replaceAll("\\\\", "\\"),
  ),
]);

/** What an expression looks for, one way and another: its letters as they stand, and the pairs beside each other. */
function repeatsOf(expression: string): string[] {
  const plain = expression
    .replace(/\\d|\\p\{N\}/g, "1")
    .replace(/\\s/g, " ")
    .replace(/\\w|\\p\{L\}/g, "a")
    .replace(/\\b|\(\?<?[:=!]|[()^$]|\{\d*,?\d*\}/g, "")
    .replace(/\\(.)/g, "$1");
  const parts = plain.split(/[|[\]*+?]+/).filter((part) => part !== "");
  return parts.flatMap((part, i) => [part.slice(0, 24), `${part}${parts[i + 1] ?? ""}`.slice(0, 24)]);
}

const repeats = [
  ...new Set([
    ...expressions.flatMap(repeatsOf),
    "1",
    " ",
    "1 ",
    "1.",
    "1,",
    "a",
    "a ",
    "(",
    "%",
    "<1",
    "1-",
  ]),
]
  .map((part) => part.replace(/["\n\r\t;,|]/g, ""))
  .filter((part) => part !== "");
const length = 24_000;
const long = (part: string) => `${part.repeat(Math.ceil(length / part.length))}!`;

/** Every so many of them in each run; all with FINEBAND_HARD=whole. */
const every = process.env["FINEBAND_HARD"] === "whole" ? 1 : 12;
/** Seconds of the processor: what takes the square of such a text takes longer, what goes with its length some hundredths. */
const maxSeconds = 0.6;

test("texts made to keep expressions busy are read in time that goes with their length", () => {
  expect(expressions.length).toBeGreaterThan(150);
  const slow = repeats.filter((part, i) => i % every === 0 && secondsFor(long(part)) > maxSeconds);
  expect(slow).toEqual([]);
}, 300_000);

/** As a note, a heading and a value of one table. */
function secondsFor(text: string): number {
  const rows = ["1;25", "2;25", "4;25", "8;25", `16;${text}`];
  const before = process.cpuUsage().user;
  readTable([text, `size um;${text}`, ...rows, text].join("\n"), "lot.csv", {});
  return (process.cpuUsage().user - before) / 1e6;
}
