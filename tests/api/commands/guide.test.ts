import { spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, expect, test } from "vitest";

const root = fileURLToPath(new URL("../../..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "fineband-guide-"));
afterAll(() => rmSync(folder, { recursive: true }));

const runs = join(folder, "runs");
const isThere = (command: string) => spawnSync(command, ["--version"]).status === 0;
const hasPython = isThere("python3");
const hasR = isThere("Rscript");

/** `FINEBAND_GUIDE_FILES=500` sends as many as the page says. */
const files = Number(process.env["FINEBAND_GUIDE_FILES"] ?? 12);

function guided(command: string, script: string, given: readonly string[]) {
  mkdirSync(runs, { recursive: true });
  const table = join(root, "distributions/samples/lots/garnet-07/milled.csv");
  for (let i = 0; i < files; i++) copyFileSync(table, join(runs, `run-${String(i).padStart(3, "0")}.csv`));
  const { status, stdout, stderr } = spawnSync(command, [join(root, "docs/guide", script), ...given], {
    cwd: folder,
    encoding: "utf8",
    env: {
      ...process.env,
      FINEBAND: `${process.execPath} ${join(root, "api/dist/cli.js")}`,
      INIT_CWD: folder,
    },
  });
  return { status, stdout, stderr };
}

/** What the command line says of the table, to hold the scripts against. */
const d50 = () => {
  const { stdout } = spawnSync(
    process.execPath,
    [join(root, "api/dist/cli.js"), "describe", join(runs, "run-000.csv"), "--json"],
    { encoding: "utf8" },
  );
  const { measurements }: { measurements: { percentilesUm: Record<string, number> }[] } = JSON.parse(stdout);
  const all = measurements.map(({ percentilesUm }) => percentilesUm["50"] ?? Number.NaN);
  return { runs: all.length, mean: all.reduce((sum, value) => sum + value, 0) / all.length };
};

const sized = (command: string, script: string) => {
  const picture = join(folder, `${script}.svg`);
  const { status, stdout, stderr } = guided(command, script, [runs, "4.55", picture]);
  expect([status, stderr]).toEqual([0, ""]);
  const each = d50();
  expect(stdout).toMatch(new RegExp(`^${files * each.runs} measurements, mean D50 ${each.mean.toFixed(3)} `));
  return readFileSync(picture, "utf8");
};

test.skipIf(!hasPython)(
  `Python sends a folder and draws a picture${hasPython ? "" : ": not run, there is no python3"}`,
  () => {
    const drawn = sized("python3", "sizes.py");
    expect(drawn.match(/<circle /g)).toHaveLength(files * d50().runs);
  },
);

test.skipIf(!hasPython)(
  `Python starts a server and asks it${hasPython ? "" : ": not run, there is no python3"}`,
  () => {
    const samples = join(root, "distributions/samples");
    const { status, stdout } = guided("python3", "server.py", [
      join(samples, "lots/garnet-07/re-fired.csv"),
      join(samples, "bands/garnet-target.json"),
    ]);
    expect(status).toBe(0);
    expect(stdout).toMatch(/^in band\nIn band, six runs\. D50 3\.41 µm/);
  },
);

test.skipIf(!hasR)(
  `R sends a folder and draws a picture${hasR ? "" : ": not run, there is no Rscript"}`,
  () => {
    expect(sized("Rscript", "sizes.R")).toContain("<svg");
  },
);
