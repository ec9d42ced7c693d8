import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { compileFunction } from "node:vm";
import { expect, test } from "vitest";
import * as fineband from "../../model/fineband.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const page = readFileSync(join(root, "docs/api.md"), "utf8");
const examples = [...page.matchAll(/```js\n([\s\S]*?)```/g)].map(([, code = ""]) => code);

/** Runs an example of the page against the sources; what it prints comes back. */
function printed(code: string): unknown[] {
  const body = code
    .replace(/^import \{ readFileSync \} from "node:fs";\n/m, "")
    .replace(/^import (\{[^}]+\}) from "fineband";/m, "const $1 = fineband;");
  const said: unknown[] = [];
  const read = (path: string, as?: BufferEncoding) =>
    readFileSync(join(root, "distributions/samples", path), as);
  compileFunction(body, ["fineband", "readFileSync", "print"])(fineband, read, (...words: unknown[]) =>
    said.push(...words),
  );
  return said;
}

test("the first example of the page reads, describes, fits and checks a lot", () => {
  const said = printed(examples[0] ?? "");
  expect(said).toContain("in band");
  expect(said.at(-1)).toMatch(/^In band, six runs\. D50 3\.41 µm/);
});

test("the second compares, predicts BET, plans the wheel and blends", () => {
  const said = printed(examples[1] ?? "");
  expect(examples).toHaveLength(2);
  expect(said.filter((word) => typeof word === "string")).toHaveLength(4);
  for (const word of said) expect(word).not.toBeUndefined();
});

test("what the one entry gives is what the page names, and no more", () => {
  const named = [...page.matchAll(/`(\w+)`/g)].map(([, name]) => name);
  expect(Object.keys(fineband).sort()).toEqual(
    ["DomainError", "blend", "check", "compare", "describe", "fit", "predictedBet"].concat([
      "readBand",
      "readMill",
      "readPairs",
      "readTable",
      "readTrials",
      "wheelPlan",
    ]),
  );
  for (const name of Object.keys(fineband)) expect(named, name).toContain(name);
});

test("a program that is not checked by types is told of a family that there is none of", () => {
  const asked = `import { fit, readTable } from "fineband";
    const { measurements } = readTable(readFileSync("lots/garnet-07/re-fired.csv"), "re-fired.csv", {});
    fit(measurements, { families: ["gaussian"] });`;
  expect(() => printed(asked)).toThrow(/^family must be one of log-normal, .*, got gaussian$/);
});
