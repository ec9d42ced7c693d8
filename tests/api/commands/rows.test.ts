import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { run } from "../../../api/commands/run.ts";

const root = fileURLToPath(new URL("../../..", import.meta.url));
const lots = join(root, "distributions/samples/lots");
const lot = (n: string) => `${lots}/garnet-${n}/re-fired.csv`;

/** 300 lots of the same twelve classes. */
function wideTable(): Uint8Array {
  const shares = [1, 2, 4, 8, 15, 20, 20, 15, 8, 4, 2, 1];
  const heading = ["lower_um", "upper_um", ...Array.from({ length: 300 }, (_, i) => `L${i}`)].join(",");
  const rows = shares.map((share, i) =>
    [2 ** i, 2 ** (i + 1), ...Array(300).fill(share.toFixed(2))].join(","),
  );
  return new TextEncoder().encode(`${[heading, ...rows].join("\n")}\n`);
}

async function fineband(line: readonly string[], stopAfter = Number.POSITIVE_INFINITY) {
  let out = "";
  let err = "";
  let asked = 0;
  const never = () => {
    throw new Error("not asked for");
  };
  const exit = await run(line, {
    openStore: never,
    openAccounts: never,
    places: { isInstalled: false, data: "", settings: null, samples: "", page: "" },
    environment: {},
    serve: never,
    now: never,
    readFile: (path) =>
      path === "wide.csv"
        ? wideTable()
        : path.endsWith("bad.csv")
          ? new TextEncoder().encode("nothing\nhere\n")
          : readFileSync(path),
    filesIn: (path) => (path === "folder" ? [lot("07"), "folder/bad.csv", lot("08")] : null),
    isStopped: async () => asked++ >= stopAfter,
    writeFile: never,
    writePieces: never,
    readFolder: never,
    writeFolder: never,
    readStandardInput: () => readFileSync(lot("07")),
    print: (text) => {
      out += text;
    },
    complain: (text) => {
      err += text;
    },
    version: "test",
  });
  return {
    exit,
    out,
    err,
    rows: () =>
      out
        .trimEnd()
        .split("\n")
        .map((row) => JSON.parse(row)),
  };
}

describe("a line as each is done", () => {
  test("describe: the numbers of --json, without classes", async () => {
    const { exit, rows } = await fineband([
      "describe",
      lot("07"),
      lot("08"),
      "--density",
      "4.55",
      "--rows",
      "ndjson",
    ]);
    const whole = JSON.parse(
      (await fineband(["describe", lot("07"), lot("08"), "--density", "4.55", "--json"])).out,
    );
    expect(exit).toBe(0);
    expect(rows()).toEqual(
      whole.measurements.map(({ lowerUm, upperUm, shares, ...row }: Record<string, unknown>) => {
        expect([lowerUm, upperUm, shares].every(Array.isArray)).toBe(true);
        return row;
      }),
    );
  });
  test("fit: parameters and misfits of --json, without residuals", async () => {
    const line = ["fit", lot("07"), "--family", "log-normal"];
    const { exit, rows } = await fineband([...line, "--rows", "ndjson"]);
    const { fits } = JSON.parse((await fineband([...line, "--json"])).out);
    expect(exit).toBe(0);
    expect(rows().length).toBe(fits.length);
    for (const [i, row] of rows().entries()) {
      const { residuals, ...fit } = fits[i];
      expect(residuals.length).toBe(fit.edges);
      expect(row).toEqual({ ...fit, warnings: fit.warnings.join(" ") });
    }
  });
  test("check: the verdict on each file's runs, and 1 where one is not in band", async () => {
    const band = join(root, "distributions/samples/bands/garnet-target.json");
    const milled = lot("07").replace("re-fired", "crushed");
    const { exit, rows } = await fineband(["check", lot("07"), milled, "--band", band, "--rows", "ndjson"]);
    expect(rows().map((row) => row.verdict)).toEqual(["in band", expect.not.stringMatching(/^in band$/)]);
    expect(rows()[0].values.D50).toBeGreaterThan(1);
    expect(exit).toBe(1);
  });
  test("surface: one line a file", async () => {
    const { exit, rows } = await fineband([
      "surface",
      lot("07"),
      "-",
      "--density",
      "4.55",
      "--rows",
      "ndjson",
    ]);
    expect(exit).toBe(0);
    expect(rows().map((row) => row.file)).toEqual([lot("07"), null]);
  });
  test("a table of several families has the parameters of each in its heading", async () => {
    const { out, err } = await fineband(["fit", lot("07"), "--family", "all", "--rows", "csv"]);
    const [heading = "", ...lines] = out.trim().split("\n");
    for (const name of ["medianUm", "gsd", "characteristicUm", "spreadExponent", "topUm"])
      expect(heading.split(",")).toContain(`parameters.${name}`);
    expect(new Set(lines.map((line) => line.split(",")[2])).size).toBe(6);
    expect(err).not.toContain("leaves out");
  });

  test("csv: names of the first line above, groups with a point", async () => {
    const { out } = await fineband(["describe", lot("07"), "--percentiles", "50", "--rows", "csv"]);
    const [heading = "", first = ""] = out.split("\n");
    const { rows } = await fineband(["describe", lot("07"), "--percentiles", "50", "--rows", "ndjson"]);
    const place = heading.split(",").indexOf("percentilesUm.50");
    expect(Number(first.split(",")[place])).toBe(rows()[0].percentilesUm["50"]);
  });
});

describe("many files", () => {
  test("a folder stands for its tables; a bad one costs the others nothing, and is 2", async () => {
    const { exit, rows, err } = await fineband(["describe", "folder", "--rows", "ndjson"]);
    expect(exit).toBe(2);
    expect(new Set(rows().map((row) => row.file))).toEqual(new Set([lot("07"), lot("08")]));
    expect(err).toContain("folder/bad.csv");
  });
  test("stopped, it ends with what is done and says so", async () => {
    const { exit, rows, err } = await fineband(["describe", "folder", "--rows", "ndjson"], 1);
    expect(exit).toBe(2);
    expect(new Set(rows().map((row) => row.file))).toEqual(new Set([lot("07")]));
    expect(err).toContain("Stopped: 1 of 3 files are done.");
  });
  test("stopped within a wide table, it ends after the lines in hand", async () => {
    const { exit, rows, err } = await fineband(
      ["describe", "wide.csv", "--quantity", "volume", "--rows", "ndjson"],
      2,
    );
    expect(exit).toBe(2);
    expect(rows().map((row) => row.name)).toEqual(Array.from({ length: 200 }, (_, i) => `L${i}`));
    expect(err).toContain("Stopped: 200 lines of wide.csv and 0 of 1 files are done.");
  });
  test("what every file alike is told is said once", async () => {
    const { err } = await fineband(["describe", lot("07"), lot("07"), lot("07"), "--rows", "ndjson"]);
    const lines = err.split("\n");
    expect(lines.length).toBe(new Set(lines).size);
  });
});

test("what looks beyond one file is refused beside rows, not left out in silence", async () => {
  for (const flag of ["--kept", "--checks"]) {
    const { exit, err } = await fineband(["check", lot("07"), flag, "kept.csv", "--rows", "ndjson"]);
    expect(exit).toBe(2);
    expect(err).toContain(`leave out ${flag}`);
  }
});

test("another word than ndjson or csv is unusable, and --material has no rows", async () => {
  expect((await fineband(["describe", lot("07"), "--rows", "xml"])).exit).toBe(2);
  const { exit, err } = await fineband([
    "surface",
    lot("07"),
    "--density",
    "4.55",
    "--material",
    "a",
    "--rows",
    "csv",
  ]);
  expect(exit).toBe(2);
  expect(err).toContain("leave out --material");
});
