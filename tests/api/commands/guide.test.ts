import { spawnSync } from "node:child_process";
import { once } from "node:events";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { serve } from "@hono/node-server";
import { afterAll, expect, test } from "vitest";
import { z } from "zod";
import { keepHere } from "../saved.ts";

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
  // Of many files the command says meanwhile how far it is.
  expect(status, stderr).toBe(0);
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

/** The typed client of the guide, loaded by its path: the types it names are written by a generator, and not kept. */
async function keptAndChecked(
  baseUrl: string,
  text: string,
  band: unknown,
): Promise<Record<string, unknown>> {
  const { keptAndChecked: ask } = await import(/* @vite-ignore */ join(root, "docs/guide/client.ts"));
  const lot = { name: "Ceria try, lot 1", material: "ceria", densityGPerCm3: 7.2, text };
  return ask(baseUrl, lot, band);
}

test("the typed client keeps a lot, adds runs, checks it and fetches the report", async () => {
  const { app, close, store } = await keepHere();
  const server = serve({ fetch: app.fetch, port: 0, hostname: "127.0.0.1" });
  try {
    await once(server, "listening");
    const { port } = z.object({ port: z.number() }).parse(server.address());
    const samples = join(root, "distributions/samples");
    const text = readFileSync(join(samples, "lots/garnet-07/re-fired.csv"), "utf8");
    const band: unknown = JSON.parse(readFileSync(join(samples, "bands/garnet-target.json"), "utf8"));
    const said = await keptAndChecked(`http://127.0.0.1:${port}`, text, band);
    expect(said).toMatchObject({ runs: 6, verdict: "in band" });
    expect(said["sentence"]).toMatch(/^In band, six runs\./);
    expect(said["report"]).toMatch(/^<!doctype html>[\s\S]*Ceria try, lot 1/);
    expect((await store.lots()).lots.map(({ name }) => name)).toEqual(["Ceria try, lot 1"]);
    const code = readFileSync(join(root, "docs/guide/client.ts"), "utf8");
    expect(code.split("\n").filter((line) => !/^(\/\/|$)/.test(line)).length).toBeLessThanOrEqual(36);
  } finally {
    server.close();
    await close();
  }
}, 60_000);

/** `npm run hard` asks the registry for the generator, which needs a TypeScript of its own. */
test.runIf(process.env["FINEBAND_HARD"] === "whole")(
  "the client is typed by what openapi-typescript makes of the API's document",
  async () => {
    const { app, close } = await keepHere();
    const project = join(folder, "client");
    mkdirSync(project);
    writeFileSync(join(project, "openapi.json"), await (await app.request("/api/openapi.json")).text());
    await close();
    copyFileSync(join(root, "docs/guide/client.ts"), join(project, "client.ts"));
    writeFileSync(join(project, "package.json"), '{ "type": "module" }');
    const run = (command: string, ...words: string[]) => {
      const { status, stdout, stderr } = spawnSync(command, words, { cwd: project, encoding: "utf8" });
      expect(status, stdout + stderr).toBe(0);
    };
    run("npm", "install", "openapi-fetch@0.17.0", "openapi-typescript@7.13.0", "typescript@5.9.3");
    run("npx", "openapi-typescript", "openapi.json", "-o", "api.d.ts");
    const options = "--strict --noEmit --module nodenext --target es2022 --lib es2022,dom --skipLibCheck";
    run("npx", "tsc", ...options.split(" "), "--allowImportingTsExtensions", "client.ts");
    writeFileSync(
      join(project, "wrong.ts"),
      'import { keptAndChecked } from "./client.ts";\n// @ts-expect-error a lot has a density in numbers\nkeptAndChecked("", { name: "", material: "", densityGPerCm3: "x", text: "" }, {});\n',
    );
    run("npx", "tsc", ...options.split(" "), "--allowImportingTsExtensions", "wrong.ts");
  },
  600_000,
);

test.skipIf(!hasR)(
  `R sends a folder and draws a picture${hasR ? "" : ": not run, there is no Rscript"}`,
  () => {
    expect(sized("Rscript", "sizes.R")).toContain("<svg");
  },
);
