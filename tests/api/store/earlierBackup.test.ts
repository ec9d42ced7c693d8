import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { gunzipSync } from "node:zlib";
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

/** Columns that came after the backup; each stands at the end of its table and is empty here. */
const addedSince: Readonly<Record<string, readonly string[]>> = {
  "pairs.csv": ["material"],
  "lots.csv": ["dateMade", "parents", "state"],
};

/** What was added to answers since: the last fields of each lot, the list of materials, the event that made them. */
function asBefore(answer: string): string {
  return answer
    .replaceAll(
      ',"materialId":1,"dateMade":null,"parents":[],"state":{"name":"open","by":"","at":"","why":"","lotId":null}',
      "",
    )
    .replace(/"materials":\[\n\{"id":1,"name":"yttrium aluminium garnet",.*\n?\],?\n/, "");
}
const askedNow: Readonly<Record<string, string>> = { "trail?limit=30": "trail?limit=30&before=52" };

function withoutLast(table: string, added: readonly string[]): string {
  const end = `,${added.join(",")}`;
  const [heading = "", ...rows] = table.split("\n");
  if (added.length === 0 || !heading.endsWith(end)) return table;
  const commas = added.length;
  return [
    heading.slice(0, -end.length),
    ...rows.map((row) => (row === "" ? row : row.slice(0, -commas))),
  ].join("\n");
}

let here: KeptHere;
beforeAll(async () => {
  here = await keepHere();
  expect((await here.store.restore(backup, ownDoing)).withTrail).toBe(true);
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
      expect(hashOf(withoutLast(table, addedSince[name] ?? []))).toBe(hash);
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
