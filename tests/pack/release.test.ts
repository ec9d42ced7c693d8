import { spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, expect, test } from "vitest";

const script = fileURLToPath(new URL("../../docs/release.mjs", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "fineband-releasing-"));
afterAll(() => rmSync(folder, { recursive: true }));

const write = (path: string, text: string) => {
  mkdirSync(dirname(join(folder, path)), { recursive: true });
  writeFileSync(join(folder, path), text);
};
const read = (path: string) => readFileSync(join(folder, path), "utf8");
const run = (command: string, ...words: string[]) => {
  const names = ["AUTHOR", "COMMITTER"].flatMap((who) => [
    [`GIT_${who}_NAME`, "somebody"],
    [`GIT_${who}_EMAIL`, "somebody@example.org"],
  ]);
  const env = { ...process.env, ...Object.fromEntries(names) };
  return spawnSync(command, words, { cwd: folder, encoding: "utf8", env });
};
const release = (...words: string[]) => run(process.execPath, script, ...words);
const commit = () => run("git", "commit", "--quiet", "--all", "--message", "all");

/** A tree as small as one can be released. */
beforeAll(() => {
  const version = "0.1.0";
  const more = { private: true, bin: { fineband: "bin.js" }, scripts: { test: "node test.js" } };
  write("package.json", JSON.stringify({ name: "fineband", version, ...more }));
  write("package-lock.json", JSON.stringify({ name: "fineband", version, lockfileVersion: 3, packages: {} }));
  write("bin.js", '#!/usr/bin/env node\nconsole.log(require("./package.json").version);\n');
  chmodSync(join(folder, "bin.js"), 0o755);
  write("test.js", "");
  write("README.md", "npm i -g ./fineband-0.1.0.tgz\n");
  write("docs/deploy/README.md", "");
  write("docs/CHANGELOG.md", "# Changes\n\n## 0.2.0, not yet released\n\nMore.\n");
  run("git", "init", "--quiet");
  run("git", "add", ".");
  commit();
});

test("what stands in the way is said, and nothing is done", () => {
  expect(release("--dry-run")).toMatchObject({
    status: 2,
    stderr: expect.stringContaining("Say which version"),
  });
  expect(release("0.0.9", "--dry-run").stderr).toContain("0.0.9 stands before 0.1.0");
  expect(release("0.3.0").stderr).toContain('has no part "## 0.3.0, not yet released"');
  write("README.md", "more: fineband-0.1.0.tgz\n");
  expect(release("0.2.0").stderr).toBe("The tree differs from its last commit: commit first.\n");
  commit();
  const { status, stdout } = release("0.2.0", "--dry-run");
  expect([status, stdout.slice(0, 39)]).toEqual([0, "Nothing stands in the way of 0.2.0. It "]);
  expect(run("git", "status", "--porcelain").stdout).toBe("");
});

/** npm packs and installs: `npm run hard`. */
test.runIf(process.env["FINEBAND_HARD"] === "whole")(
  "a red tree is not released; a green one is, in one command",
  () => {
    write("test.js", "process.exit(1);\n");
    commit();
    expect(release("0.2.0")).toMatchObject({
      status: 1,
      stderr: expect.stringContaining("Nothing was released"),
    });
    expect(run("git", "status", "--porcelain").stdout).toBe("");
    write("test.js", "");
    commit();
    const { status, stdout } = release("0.2.0");
    expect(status).toBe(0);
    expect(stdout).toMatch(/Released 0\.2\.0: .*fineband-0\.2\.0\.tgz\nsha512-[\w+/]{86}==/);
    expect(read("package.json")).toMatch(/"version": ?"0\.2\.0"/);
    expect(read("docs/CHANGELOG.md")).toMatch(/^## 0\.2\.0, \d{4}-\d\d-\d\d$/m);
    expect(read("README.md")).toBe("more: fineband-0.2.0.tgz\n");
    expect(run("git", "tag").stdout).toBe("v0.2.0\n");
    expect(run("git", "status", "--porcelain").stdout).toBe("?? fineband-0.2.0.tgz\n");
  },
  120_000,
);
