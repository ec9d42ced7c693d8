import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { harmless } from "../../../api/commands/harmless.ts";
import { run } from "../../../api/commands/run.ts";

// ECMA-48: C0 and C1 control characters begin the sequences a terminal obeys. UAX #9: the embeddings, overrides and isolates.
const obeyed = /(?![\n\t])[\p{Cc}\u202A-\u202E\u2066-\u2069]/u;

test("nothing a terminal obeys is left, and JSON means what it meant", () => {
  const text = fc.string({ unit: "binary", maxLength: 40 });
  fc.assert(
    fc.property(text, (t) => {
      expect(harmless(t)).not.toMatch(obeyed);
      expect(JSON.parse(harmless(JSON.stringify(t)))).toBe(t);
    }),
  );
});

test("µ, blanks without a break, line ends, tabs and other scripts stay as they are", () => {
  const text = "D50 3.0\u00a0µm, 粒径\t−1\n";
  expect(harmless(text)).toBe(text);
});

test("a name in a table moves no cursor, in sentences, problems and JSON", async () => {
  const table = "lower_um,upper_um,\u001b[2J\u009b31mrun % by volume\n1,2,40\n2,4,60\n";
  for (const more of [[], ["--json"], ["--explain"]]) {
    const said: string[] = [];
    const never = () => {
      throw new Error("not asked for");
    };
    await run(["describe", "-", ...more], {
      openStore: never,
      openAccounts: never,
      places: { isInstalled: false, data: "", settings: null, samples: "", page: "" },
      environment: {},
      serve: never,
      now: never,
      readFile: never,
      writeFile: never,
      writePieces: never,
      filesIn: never,
      isStopped: never,
      readFolder: never,
      writeFolder: never,
      readStandardInput: () => new TextEncoder().encode(table),
      print: (text) => said.push(text),
      complain: (text) => said.push(text),
      version: "test",
    });
    expect(said.join("")).toContain("run");
    expect(said.join("")).not.toMatch(obeyed);
  }
});

describe("a reader that closes the pipe", () => {
  const root = fileURLToPath(new URL("../../..", import.meta.url));
  const isUnix = process.platform !== "win32" && existsSync("/bin/bash");
  test.skipIf(!isUnix)("ends it quietly, with the code of the answer", () => {
    const line =
      "set -o pipefail; node api/dist/cli.js describe distributions/samples/lots/garnet-07/milled.csv --json | head -c 1 >/dev/null";
    const { status, stderr } = spawnSync("/bin/bash", ["-c", line], { cwd: root, encoding: "utf8" });
    expect(stderr).not.toMatch(/EPIPE|fault/);
    expect(status).toBe(0);
  });
});
