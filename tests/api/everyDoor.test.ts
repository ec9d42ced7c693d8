import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { flagOf, readingFlags, readingOptionsOf } from "../../api/contract/options.ts";
import { kindNames, kinds } from "../../api/records/kinds.ts";
import { openDatabase } from "../../api/store/database/database.ts";
import { ownDoing } from "../../api/store/ledger/ledger.ts";
import { makeStore } from "../../api/store/store.ts";
import { columnsOf } from "../../api/store/transfer/csvColumns.ts";
import { optionWords } from "../../distributions/tables/text/readingOptions.ts";
import { type KeptHere, keepHere } from "./saved.ts";

/** Each option's words in turn, the last of each list first: none of them is what would be taken without a word. */
const answers: Record<string, string | number | string[]> = {
  ...Object.fromEntries(Object.entries(optionWords).map(([name, words]) => [name, words.at(-1) ?? ""])),
  firstEdgeUm: 0.25,
  only: ["run 1", "run 2"],
};
/** What suits the table below; the last words of all lists at once would suit none. */
const suiting = {
  edge: "upper",
  values: "class",
  scale: "percent",
  quantity: "volume",
  unit: "um",
  layout: "columns",
  empty: "zero",
  sum: "divide",
  decimal: "comma",
  delimiter: "semicolon",
  encoding: "windows-1252",
  inClass: "uniform",
  firstEdgeUm: 0.5,
  only: ["run 1"],
} as const;
const table = "Size (µm);run 1;run 2\n1;10,5;11\n2;39,5;40\n4;40;39\n8;10;10\n";

let here: KeptHere;
beforeAll(async () => {
  here = await keepHere();
  await here.ask("POST", "/api/lots", { name: "L", densityGPerCm3: 4.55 });
});
afterAll(() => here.close());

describe("every reading option", () => {
  test("is known by its flag, in the reader's own order", () => {
    const own = Object.keys(optionWords).map(flagOf);
    expect(readingFlags).toEqual([...own, "first-edge", "roles", "density", "only"]);
  });

  test("is read from the command line", () => {
    const given = Object.fromEntries(
      Object.entries(answers).map(([name, value]) => [
        name === "firstEdgeUm" ? "first-edge" : flagOf(name),
        Array.isArray(value) ? value : String(value),
      ]),
    );
    expect(readingOptionsOf(given)).toEqual(answers);
  });

  test("told over HTTP is kept with the table, and comes back from backup, copy and tables", async () => {
    expect(Object.keys(suiting).sort()).toEqual(Object.keys(answers).sort());
    const sent = await here.ask("POST", "/api/lots/1/measurements", {
      stage: "milled",
      base64: Buffer.from(table, "latin1").toString("base64"),
      options: suiting,
    });
    expect(sent.status).toBe(201);
    const optionsIn = async (store: KeptHere["store"]) =>
      (await store.entries("import")).entries.map(({ options }) => options);
    expect(await optionsIn(here.store)).toEqual([suiting]);
    const lines: string[] = [];
    for await (const line of here.store.backup()) lines.push(line);
    const ways: ((store: KeptHere["store"]) => Promise<unknown>)[] = [
      (store) => store.restore(lines.join(""), ownDoing),
      async (store) => store.importCopy(await here.store.copy(), ownDoing),
      async (store) => store.importTables(await here.store.copyTables(), ownDoing),
    ];
    for (const bring of ways) {
      const folder = mkdtempSync(join(tmpdir(), "fineband-doors-"));
      const other = makeStore(await openDatabase({ databaseUrl: null, folder }), () => new Date(0));
      await bring(other);
      expect(await optionsIn(other)).toEqual([suiting]);
      expect(await other.copy()).toBe(await here.store.copy());
      await other.close();
      rmSync(folder, { recursive: true });
    }
  });

  test.each(Object.entries(optionWords))("%s is kept whichever of its words is told", (name, words) => {
    const kept = { lotId: 1, file: "a", text: "", sha256: "", keptAt: "" };
    for (const word of words)
      expect(kinds.import.read({ ...kept, options: { [name]: word } }).options).toEqual({ [name]: word });
    expect(() => kinds.import.read({ ...kept, options: { [name]: "none of them" } })).toThrow(name);
  });
});

describe("a kind of entry", () => {
  test.each(kindNames)("%s has a column for each of its fields, its curve and constants apart", (kind) => {
    const { fields, curve } = kinds[kind];
    const expected = Object.keys(fields.shape).filter((name) => name !== curve && name !== "version");
    expect(columnsOf(kind).map(({ name }) => name)).toEqual(expected);
  });
});
