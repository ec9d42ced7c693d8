import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { gunzipSync } from "node:zlib";
import Papa from "papaparse";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { ownDoing } from "../../../api/store/ledger/ledger.ts";
import { type KeptHere, keepHere } from "../saved.ts";

// A backup that the code before the schemas wrote: the demo, and some of every kind of entry beside it. What that code
// answered from it, and how its copies read, stands beside it as hashes of the bytes.
const at = (name: string) => fileURLToPath(new URL(`earlier/${name}`, import.meta.url));
const backup = gunzipSync(readFileSync(at("backup.jsonl.gz"))).toString();
const then: { answers: Record<string, string>; tables: Record<string, string> } = JSON.parse(
  readFileSync(at("backup.json"), "utf8"),
);
const hashOf = (text: string) => createHash("sha256").update(text).digest("hex");

/** Columns that came after the backup; each is empty here. */
const addedSince: Readonly<Record<string, readonly string[]>> = {
  "bands.csv": ["envelopeUse"],
  "pairs.csv": ["material"],
  "lots.csv": ["dateMade", "parents", "state", "asideBecause"],
  "measurements.csv": ["portion"],
  "stages.csv": ["kind", "date", "massInG", "massOutG", "weighed"],
  "results.csv": ["date", "method"],
  "frozen.csv": ["signature"],
  "beliefs.csv": ["materialId", "grindingLimitUm"],
  "trials.csv": ["materialId", "feed", "sample", "feedMassG", "productMassG", "settings"],
};

/** What was added to answers since: the last fields of each lot, where the next page of them begins, the lists of materials, logos and photographs, the event that made them. */
function asBefore(answer: string): string {
  return answer
    .replaceAll(
      ',"materialId":1,"dateMade":null,"parents":[],"state":{"name":"open","by":"","at":"","why":"","lotId":null},"asideBecause":null',
      "",
    )
    .replaceAll(',"summary":null', "")
    .replace(',"next":null', "")
    .replace('"instruments":[],\n', "")
    .replace('"logos":[],\n', "")
    .replace('"photographs":[],\n', "")
    .replace('"photographs":[],', "")
    .replace(/"materials":\[\n\{"id":1,"name":"yttrium aluminium garnet",.*\n?\],?\n/, "");
}
const askedNow: Readonly<Record<string, string>> = { "trail?limit=30": "trail?limit=30&before=52" };

function withoutAdded(table: string, added: readonly string[]): string {
  if (added.length === 0) return table;
  const rows = Papa.parse<string[]>(table, { newline: "\n", skipEmptyLines: true }).data;
  const isAdded = rows[0]?.map((name) => added.includes(name)) ?? [];
  expect(rows.slice(1).flatMap((row) => row.filter((_, i) => isAdded[i]))).toEqual(
    rows.slice(1).flatMap(() => added.map(() => "")),
  );
  return `${Papa.unparse(
    rows.map((row) => row.filter((_, i) => isAdded[i] !== true)),
    { newline: "\n" },
  )}\n`;
}

let here: KeptHere;
beforeAll(async () => {
  here = await keepHere();
  // As a program writes it back that puts a mark before UTF-8.
  expect((await here.store.restore(`\uFEFF${backup}`, ownDoing)).withTrail).toBe(true);
});
afterAll(() => here.close());

describe("a backup of the code before", () => {
  test.each(Object.entries(then.answers))(
    "answers GET /api/%s byte for byte, but for what was added since",
    async (path, hash) => {
      const answer = await (await here.ask("GET", `/api/${askedNow[path] ?? path}`)).text();
      expect(hashOf(asBefore(answer))).toBe(hash);
    },
  );
  test.each(Object.entries(then.tables))(
    "gives %s byte for byte, but for columns added since",
    async (name, hash) => {
      const table = (await here.store.copyTables()).get(name) ?? "";
      expect(hashOf(withoutAdded(table, addedSince[name] ?? []))).toBe(hash);
    },
  );
  test("is sound, and written again is the same with the event that made its material", async () => {
    expect((await here.store.verify()).faults).toEqual([]);
    const lines: string[] = [];
    for await (const line of here.store.backup()) lines.push(line);
    const [made, last] = lines.slice(-2).map((line): unknown => JSON.parse(line));
    expect(lines.slice(0, -2)).toEqual(
      backup
        .split("\n")
        .slice(0, -2)
        .map((line) => `${line}\n`),
    );
    expect(made).toMatchObject({
      event: { seq: 52, kind: "start", what: "made one material of the names that lots have" },
      changes: [{ kind: "material", id: 1, before: null }],
    });
    expect(last).toMatchObject({ events: 52 });
  });
  test("holds a released answer whose inputs are the same today", async () => {
    const { frozen, changedInputs } = await (await here.ask("GET", "/api/frozen/1")).json();
    expect(frozen.frozenAt).toBe("1970-01-01T00:00:00.000Z");
    expect(changedInputs).toEqual([]);
  });
});
