import { expect, test } from "vitest";
import { makeApp } from "../../../api/app.ts";
import type { ChangeContext } from "../../../api/store/ledger/ledger.ts";
import { describeStore, type Opened } from "./engines.ts";

const someone: ChangeContext = { kind: "change", by: "Ana", why: "", request: null };
const lot = { name: "A", material: "garnet", densityGPerCm3: 4.55, bandId: null, note: "" };
/** A grey point. Source of the format: ISO/IEC 15948. */
const png = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==",
  "base64",
);

function over({ store }: Opened) {
  const app = makeApp({ store, uiFolder: null, log: console.error });
  const send = (body: Uint8Array, name = "powder.png", stage = "milled") =>
    app.request(`/api/lots/1/photographs?stage=${stage}&name=${name}`, {
      method: "POST",
      headers: { "content-type": "application/octet-stream" },
      body: new Uint8Array(body),
    });
  const kept = async () => (await store.card(1)).photographs;
  return { app, send, kept };
}

async function whole(pieces: AsyncGenerator<string>): Promise<string> {
  const all: string[] = [];
  for await (const piece of pieces) all.push(piece);
  return all.join("");
}

describeStore("photographs of a stage", (open) => {
  test("are kept once by their bytes, given as they came, noted, deleted, brought back, and part of every way out", async () => {
    const opened = await open();
    const { store, db } = opened;
    const { app, send, kept } = over(opened);
    await store.keepLot(lot, someone);
    expect((await send(png)).status).toBe(201);
    expect((await send(png, "again.png", "Milled")).status).toBe(201);
    const [first, second] = await kept();
    expect(first).toMatchObject({ stage: "milled", type: "image/png", sizeBytes: png.length, note: "" });
    expect(second).toMatchObject({ stage: "milled", name: "again.png", sha256: first?.sha256 });
    expect(await db.selectFrom("bytes_kept").select("sha256").execute()).toEqual([{ sha256: first?.sha256 }]);
    const shown = await app.request("/api/photographs/1");
    expect(Buffer.from(await shown.arrayBuffer())).toEqual(png);
    const headers = ["content-type", "x-content-type-options"].map((name) => shown.headers.get(name));
    expect(headers).toEqual(["image/png", "nosniff"]);
    expect(shown.headers.get("content-security-policy")).toContain("default-src 'self'");
    const put = await app.request("/api/photographs/1", {
      method: "PUT",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ name: "powder.png", note: "plates" }),
    });
    expect([put.status, (await kept())[0]?.note]).toEqual([200, "plates"]);
    expect((await app.request("/api/photographs/2", { method: "DELETE" })).status).toBe(204);
    expect((await app.request("/api/photographs/2")).status).toBe(404);
    await store.step("undo", null, someone, "");
    expect((await kept()).map(({ name }) => name)).toEqual(["powder.png", "again.png"]);
    expect((await store.verify()).faults).toEqual([]);

    const backup = await whole(store.backup());
    expect(backup.split(png.toString("base64")).length - 1).toBe(1);
    const copy = await store.copy();
    for (const bringBack of [
      (other: Opened) => other.store.restore(backup, someone),
      (other: Opened) => other.store.importCopy(copy, someone),
    ]) {
      const other = await open();
      await bringBack(other);
      const back = await over(other).app.request("/api/photographs/2");
      expect(Buffer.from(await back.arrayBuffer())).toEqual(png);
      expect((await other.store.verify()).faults).toEqual([]);
      expect(await other.store.copy()).toBe(copy);
      await other.done();
    }
    await expect(
      store.restore(backup.replace(png.toString("base64"), "iVBORw0KGgo="), someone),
    ).rejects.toThrow(/does not match its checksum/);

    // Bytes that are not those of their hash are named, and never shown as the picture.
    await db.updateTable("bytes_kept").set({ base64: "iVBORw0KGgo=" }).execute();
    expect((await store.verify()).faults).toEqual([
      expect.stringMatching(/^The bytes kept as \w{64} do not match/),
      expect.stringMatching(/^The bytes of photograph 1 /),
      expect.stringMatching(/^The bytes of photograph 2 /),
    ]);
    await expect(whole(store.backup())).rejects.toThrow(/bytes of a photograph, kept as \w{64}, are damaged/);
    // Mended, they stand under their own hash: nothing is thrown away, a backup is made, and the loss stays named.
    expect(await store.mendPlan()).toEqual([
      expect.stringMatching(/^keep the bytes named \w{64} under their own hash/),
    ]);
    expect(await store.mend()).toBe(1);
    expect((await store.verify()).faults).toEqual([
      expect.stringMatching(/^The bytes of photograph 1 /),
      expect.stringMatching(/^The bytes of photograph 2 /),
    ]);
    await store.restore(await whole(store.backup()), someone);
    expect((await db.selectFrom("bytes_kept").select("base64").execute()).map((row) => row.base64)).toEqual([
      "iVBORw0KGgo=",
    ]);
    // Where the name was damaged, mending finds them again; what is brought in again takes the place of damaged bytes.
    await db.deleteFrom("bytes_kept").execute();
    await db
      .insertInto("bytes_kept")
      .values({ sha256: "f".repeat(64), base64: png.toString("base64") })
      .execute();
    await store.mend();
    expect((await store.verify()).faults).toEqual([]);
    await db.updateTable("bytes_kept").set({ base64: "iVBORw0KGgo=" }).execute();
    expect((await send(png, "third.png")).status).toBe(201);
    expect((await store.verify()).faults).toEqual([]);
    await db.deleteFrom("bytes_kept").execute();
    expect((await app.request("/api/photographs/1")).status).toBe(422);
    await opened.done();
  });

  test("what is no PNG, JPEG or WebP by its bytes, too large, or of no lot or stage is refused in words", async () => {
    const opened = await open();
    const { app, send, kept } = over(opened);
    await opened.store.keepLot(lot, someone);
    const svg = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>');
    for (const wrong of [svg, Buffer.from("GIF89a"), Buffer.from("RIFF1234WAVE"), Buffer.alloc(0)]) {
      const answer = await send(wrong, "a.png");
      expect(answer.status).toBe(422);
      expect((await answer.json()).detail).toMatch(/a\.png is no photograph .* PNG, JPEG or WebP/);
    }
    const large = Buffer.concat([png, Buffer.alloc(8 * 1024 * 1024)]);
    const answer = await send(large);
    expect([answer.status, (await answer.json()).detail]).toEqual([
      413,
      expect.stringMatching(/at most 8 MB/),
    ]);
    expect((await send(png, "a.png", "polished")).status).toBe(422);
    const nowhere = { method: "POST", body: new Uint8Array(png) };
    expect((await app.request("/api/lots/9/photographs?stage=milled&name=a", nowhere)).status).toBe(404);
    expect(await kept()).toEqual([]);
    expect((await send(Buffer.from("RIFF1234WEBPVP8 "), "w")).status).toBe(201);
    expect((await send(Buffer.from([0xff, 0xd8, 0xff, 0xe0]), "j")).status).toBe(201);
    expect((await kept()).map(({ type }) => type)).toEqual(["image/webp", "image/jpeg"]);
    await opened.done();
  });
});
