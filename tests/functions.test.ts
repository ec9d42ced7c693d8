import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseSync } from "vite";
import { expect, test } from "vitest";

const root = fileURLToPath(new URL("..", import.meta.url));

/** Folders whose functions are held to this; a folder is added when its own are. */
const folders = ["distributions", "model"];
/** Held to the size of functions, not yet to the count of defaults. */
const sizedToo = ["ui"];

const maxLines = 80;
const maxArguments = 4;

/** Functions that may be longer, each with its reason. */
const long: Readonly<Record<string, string>> = {};

/** Not yet cut to size: taken off this list when they are. */
const notYet: readonly string[] = [
  "model/answers/lot/checkAnswer.ts checkRow",
  "model/answers/lot/fitAnswer.ts sentenceOf",
  "model/answers/mill/inBandAnswer.ts inBandOf",
  "model/answers/mill/wheelAnswer.ts speedOf",
  "model/answers/mill/wheelAnswer.ts warningsOf",
  "model/answers/surface/surfaceAnswer.ts surfaceAnswer",
  "model/mill/trials/refusals.ts notReached",
  "model/mill/trials/setPoint.ts speedForD50",
  "model/numbers/jointChance.ts below",
  "model/numbers/jointChance.ts chanceAtScale",
  "ui/data/client.ts changeEntry",
  "ui/pages/import/import.tsx Import",
];

/**
 * Lines in which something that is missing becomes a number, outside kernels/ and by folder: at most so many. What is
 * there by construction is asked for with itemAt, zip or neighbours, which throw; a default is for what is optional.
 */
const mostDefaults: Readonly<Record<string, number>> = {
  "distributions/tables": 11,
  // A view without columns has no effect, scatter that is not known is not drawn, a lot without a target has none.
  elsewhere: 24,
};
const numberForNothing = /\?\? (0|1|NaN|Number\.NaN)\b/;

const sourcesIn = (folder: string) =>
  readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
    .filter((path) => /\.tsx?$/.test(path) && !path.startsWith("dist"))
    .map((path) => ({ path: `${folder}/${path}`, text: readFileSync(join(root, folder, path), "utf8") }));
const sources = folders.flatMap(sourcesIn);

interface FunctionSize {
  readonly name: string;
  readonly lines: number;
  readonly positional: number;
}

/** What the parser gives, as far as it is looked at. */
interface SyntaxNode {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}

const isNode = (value: unknown): value is SyntaxNode =>
  typeof value === "object" && value !== null && "type" in value && typeof value.type === "string";

const nameOf = (value: unknown): string | null =>
  isNode(value) && typeof value["name"] === "string" ? value["name"] : null;

/** Every function of a file with its lines and positional arguments; one without a name goes by what it is given to. */
function functionsIn({ path, text }: { path: string; text: string }): FunctionSize[] {
  const lineOf = (place: number) => text.slice(0, place).split("\n").length;
  const walk = (value: unknown, givenTo: string): FunctionSize[] => {
    if (Array.isArray(value)) return value.flatMap((each) => walk(each, givenTo));
    if (!isNode(value)) return [];
    const name = nameOf(value["id"]) ?? nameOf(value["key"]) ?? givenTo;
    const inside = Object.values(value).flatMap((each) => walk(each, name));
    if (!/^(FunctionDeclaration|FunctionExpression|ArrowFunctionExpression)$/.test(value.type)) return inside;
    const { params } = value;
    const own = {
      name: `${path} ${name}`,
      lines: lineOf(value.end) - lineOf(value.start) + 1,
      positional: Array.isArray(params) ? params.length : 0,
    };
    return [own, ...inside];
  };
  return walk(parseSync(path, text, { lang: path.endsWith("x") ? "tsx" : "ts" }).program.body, "");
}

const functions = [...sources, ...sizedToo.flatMap(sourcesIn)].flatMap(functionsIn);

test("the functions are found", () => {
  expect(functionsIn({ path: "a.ts", text: "export const f = (a: number, b = 2) =>\n  a + b;" })).toEqual([
    { name: "a.ts f", lines: 2, positional: 2 },
  ]);
  expect(functions.length).toBeGreaterThan(1000);
});

test(`no function has more than ${maxLines} lines without a reason`, () => {
  const wrong = functions.filter(
    ({ name, lines }) => lines > maxLines && !(name in long) && !notYet.includes(name),
  );
  expect(wrong.map(({ name, lines }) => `${name}: ${lines}`)).toEqual([]);
  const needless = Object.keys(long).filter(
    (name) => !functions.some((f) => f.name === name && f.lines > maxLines),
  );
  expect(needless).toEqual([]);
});

test(`no function takes more than ${maxArguments} positional arguments`, () => {
  const wrong = functions.filter(
    ({ name, positional }) => positional > maxArguments && !notYet.includes(name),
  );
  expect(wrong.map(({ name, positional }) => `${name}: ${positional}`)).toEqual([]);
});

test("few lines outside kernels turn what is missing into a number", () => {
  const lines = sources
    .filter(({ path }) => !path.includes("/kernels/"))
    .flatMap(({ path, text }) =>
      text
        .split("\n")
        .flatMap((line, i) => (numberForNothing.test(line) ? [`${path}:${i + 1} ${line.trim()}`] : [])),
    );
  const folderOf = (line: string) =>
    Object.keys(mostDefaults).find((folder) => line.startsWith(`${folder}/`)) ?? "elsewhere";
  for (const [folder, most] of Object.entries(mostDefaults)) {
    const own = lines.filter((line) => folderOf(line) === folder);
    expect(own.length, own.join("\n")).toBeLessThanOrEqual(most);
  }
});

// A call takes some hundred thousand arguments at most, and a table may have more rows: maxOf and minOf walk the list.
test("no list of unknown length is spread into a call of Math.max or Math.min alone", () => {
  const spread = sources
    .filter(({ path }) => !path.includes("/kernels/"))
    .flatMap(({ path, text }) =>
      [...text.matchAll(/Math\.(?:max|min)\(\.\.\.[\w.]+\)/g)].map(([call]) => `${path} ${call}`),
    );
  expect(spread).toEqual([]);
});
