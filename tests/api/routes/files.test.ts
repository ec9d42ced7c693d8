import { zipSync } from "fflate";
import { afterAll, beforeAll, expect, test } from "vitest";
import { sha256 } from "../../../api/records/checksum.ts";
import { parts, sheetOf, table } from "../../distributions/tables/workbook/workbookParts.ts";
import { type KeptHere, keepHere } from "../saved.ts";

let here: KeptHere;

beforeAll(async () => {
  here = await keepHere();
});
afterAll(() => here.close());

async function post(
  path: string,
  body: unknown,
): Promise<{ status: number; body: Awaited<ReturnType<Response["json"]>> }> {
  const response = await here.ask("POST", path, body);
  return { status: response.status, body: await response.json() };
}
const base64 = (bytes: Uint8Array) => Buffer.from(bytes).toString("base64");
const workbook = zipSync(parts([sheetOf(table("host A volume %")), sheetOf(table("host B volume %"))]));
const latin = Buffer.from(
  "lower \u00b5m;upper \u00b5m;volume %\n0,5;1,0;20,0\n1,0;2,0;60,0\n2,0;4,0;20,0\n",
  "latin1",
);

test("a workbook and a file in an old encoding are read over HTTP as from a file", async () => {
  const { status, body } = await post("/api/describe", { base64: base64(workbook), name: "host.xlsx" });
  expect(status).toBe(200);
  expect(body.measurements.map((m: { name: string }) => m.name)).toEqual([
    "host A volume %",
    "host B volume %",
  ]);
  expect(body.outcomes).toEqual(
    ["A", "B"].map((letter) => ({
      file: "host.xlsx",
      measurement: `host ${letter} volume %`,
      state: "read",
    })),
  );
  expect((await post("/api/describe", { base64: base64(latin) })).body.measurements.length).toBe(1);
  expect((await post("/api/describe", {})).status).toBe(422);
  expect((await post("/api/describe", { base64: "%%%" })).status).toBe(422);
});

test("a bomb is refused over HTTP within 200 ms", async () => {
  const zeros = new Uint8Array(1e7);
  const files = parts([sheetOf(table("volume %"))]);
  for (let i = 0; i < 8; i++) files[`xl/media/${i}.xml`] = zeros;
  const sent = { base64: base64(zipSync(files, { level: 9 })) };
  await post("/api/describe", { text: "" });
  const begun = process.cpuUsage().user;
  const { status, body } = await post("/api/describe", sent);
  expect((process.cpuUsage().user - begun) / 1000).toBeLessThan(200);
  expect(status).toBe(422);
  expect(body.problems[0].message).toMatch(/would unpack to 80 MB, more than 64 MB/);
});

test("what is brought in is kept as received, with the hash of its bytes", async () => {
  const { body } = await post("/api/lots", { name: "Lot 1", densityGPerCm3: 4.55 });
  const path = `/api/lots/${body.lot.id}/measurements`;
  for (const [bytes, name] of [
    [workbook, "host.xlsx"],
    [latin, "old.csv"],
  ] as const) {
    const { status, body: kept } = await post(path, { stage: "milled", file: name, base64: base64(bytes) });
    expect([status, kept.problems.filter((p: { severity: string }) => p.severity !== "note")]).toEqual([
      201,
      [],
    ]);
    const found = await here.store.importOf(name === "host.xlsx" ? 1 : 3);
    expect(found?.body).toMatchObject({ file: name, base64: base64(bytes), sha256: sha256(bytes) });
    expect(found?.body.text).toContain("volume %");
  }
  const plain = "lower um,upper um,volume %\n1,2,40\n2,4,60\n";
  await post(path, { stage: "milled", base64: base64(Buffer.from(plain)) });
  const found = await here.store.importOf(4);
  expect(found?.body).toMatchObject({ text: plain, sha256: sha256(plain) });
  expect(found?.body).not.toHaveProperty("base64");
  const tables = await here.store.copyTables();
  const someone = { kind: "change", by: "", why: "", request: null } as const;
  expect((await here.store.importTables(tables, someone)).seq).toBe(null);
});
