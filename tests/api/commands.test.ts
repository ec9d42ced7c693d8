import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { run } from "../../api/commands/run.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));

function fineband(line: readonly string[], standardInput = "") {
  let out = "";
  let err = "";
  const exit = run(line, {
    readFile: (path) => readFileSync(join(root, path)),
    readStandardInput: () => new TextEncoder().encode(standardInput),
    print: (text) => {
      out += text;
    },
    complain: (text) => {
      err += text;
    },
    version: "test",
  });
  return { exit, out, err };
}

const words = (line: string) => [...line.matchAll(/"([^"]*)"|(\S+)/g)].map((m) => m[1] ?? m[2] ?? "");

describe("every example of docs/commands.md", () => {
  const examples = [
    ...readFileSync(join(root, "docs/commands.md"), "utf8").matchAll(/```sh\nfineband (.*)\n```/g),
  ].map((m) => m[1] ?? "");
  test("there is one for each verb", () =>
    expect(examples.map((e) => e.split(" ")[0])).toEqual([
      "describe",
      "fit",
      "runs",
      "check",
      "compare",
      "surface",
      "fines",
      "wheel",
      "circuit",
      "stages",
    ]));
  test.each(examples)("fineband %s answers", (example) => {
    const { exit, out } = fineband(words(example));
    expect(exit).toBe(0);
    expect(out.length).toBeGreaterThan(20);
    const json = fineband([...words(example).filter((w) => w !== "--json"), "--json"]);
    expect(json.out.trim().split("\n").length).toBe(1);
    const { problems } = JSON.parse(json.out);
    expect(problems.filter((p: { severity: string }) => p.severity !== "note")).toEqual([]);
    expect(json.out).not.toMatch(/NaN|Infinity/);
  });
});

describe("every example of docs/science.md answers as it is written", () => {
  const examples = [
    ...readFileSync(join(root, "docs/science.md"), "utf8").matchAll(
      /```sh\nfineband (.*)\n```\n\n```text\n([\s\S]*?)\n```/g,
    ),
  ].map((m) => [m[1] ?? "", m[2] ?? ""] as const);
  test("there are some", () => expect(examples.length).toBeGreaterThanOrEqual(4));
  test.each(examples)("fineband %s", (line, answer) => {
    expect(fineband(words(line)).out.trimEnd()).toBe(answer);
  });
});

describe("exit codes and outputs", () => {
  const lot = (n: string) => `distributions/samples/lots/garnet-${n}/re-fired.csv`;
  const band = ["--band", "distributions/samples/bands/garnet-target.json"];
  test("check is 0 in band, 1 on the edge and out", () => {
    expect(["07", "08", "09"].map((n) => fineband(["check", lot(n), ...band]).exit)).toEqual([0, 1, 1]);
  });
  test("a question is 2, with the good measurements still printed", () => {
    const { exit, out, err } = fineband(
      ["describe", lot("07"), "-", "--json"],
      "size,share\n1,20\n2,60\n4,20\n",
    );
    expect(exit).toBe(2);
    expect(JSON.parse(out).measurements.length).toBe(6);
    expect(err).toMatch(/^question: .* Answer with --edge lower\|upper\|geometric-mid\|arithmetic-mid\.$/m);
    expect(err).toMatch(/ Answer with --quantity number\|length\|surface\|volume\.$/m);
  });
  test("wheel is 1 when something asked is refused", () => {
    expect(
      fineband(["wheel", "--mill", "distributions/samples/mill/mill.json", "--speed", "9500"]).exit,
    ).toBe(1);
  });
  test("circuit is 1 where a size is stuck, 2 where it cannot be read", () => {
    const circuit = JSON.parse(readFileSync(join(root, "distributions/samples/mill/circuit.json"), "utf8"));
    const of = (change: object) =>
      fineband(["circuit", "--circuit", "-", "--json"], JSON.stringify({ ...circuit, ...change }));
    const stuck = of({ rateAt1UmPerS: 0, separation: "ideal" });
    expect(stuck.exit).toBe(1);
    expect(JSON.parse(stuck.out)).toMatchObject({ percentilesUm: null, shares: null, recycle: null });
    expect(JSON.parse(stuck.out).stuckAtUm).toBeGreaterThan(4);
    expect(of({ sharpness: 2 }).exit).toBe(2);
    expect(of({ fragments: { kind: "dust" } }).err).toMatch(/power law or Austin's/);
    expect(fineband(["circuit", "--circuit", "-"], "{").exit).toBe(2);
  });
  test.each([
    ["an unknown option", ["describe", lot("07"), "--colour", "red"]],
    ["a repeated option", ["describe", lot("07"), "--unit", "um", "--unit", "nm"]],
    ["a value outside its list", ["describe", lot("07"), "--unit", "inch"]],
    ["an unknown verb", ["measure"]],
    ["a missing file", ["describe", "no-such.csv"]],
    ["no file", ["describe"]],
    ["a number that is none", ["describe", lot("07"), "--density", "heavy"]],
    ["standard input twice", ["compare", "-", "-"]],
    ["surface without density", ["surface", lot("07")]],
  ])("%s is 2, with one JSON object that names it", (_, line) => {
    const { exit, out, err } = fineband([...line, "--json"]);
    expect(exit).toBe(2);
    expect(JSON.parse(out).problems[0].severity).toBe("refused");
    expect(err).toMatch(/^refused: /);
  });
  test("help and version are 0", () => {
    expect(fineband(["--help"]).exit).toBe(0);
    expect(fineband(["describe", "--help"]).exit).toBe(0);
    expect(fineband(["--version"]).out).toBe("test\n");
  });
});

test("the built command reads from the folder the user stands in", () => {
  const { status, stdout } = spawnSync(
    process.execPath,
    [join(root, "api/dist/cli.js"), "describe", "milled.csv", "--json"],
    {
      env: { ...process.env, INIT_CWD: join(root, "distributions/samples/lots/garnet-07") },
      encoding: "utf8",
    },
  );
  expect(status).toBe(0);
  expect(JSON.parse(stdout).measurements.length).toBe(4);
});
