import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const samples = fileURLToPath(new URL("../../distributions/samples/", import.meta.url));
const filesIn = (folder: string, below = ""): string[] =>
  readdirSync(join(folder, below)).flatMap((name) => {
    const path = join(below, name);
    return statSync(join(folder, path)).isDirectory() ? filesIn(folder, path) : [path];
  });

test("the demo scenario is what its seeded script writes", () => {
  const folder = mkdtempSync(join(tmpdir(), "fineband-samples-"));
  execFileSync(process.execPath, [join(samples, "generate.mjs"), folder]);
  const made = filesIn(folder).sort();
  expect(made).toEqual(
    filesIn(samples)
      .filter((path) => !path.endsWith(".mjs"))
      .sort(),
  );
  for (const path of made)
    expect(readFileSync(join(samples, path), "utf8"), path).toBe(readFileSync(join(folder, path), "utf8"));
  rmSync(folder, { recursive: true });
});
