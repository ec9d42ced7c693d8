import { mkdtempSync, readFileSync, rmSync, statSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { faultEvent, levelNamed, makeLog } from "#api/access/log.ts";
import { makeApp } from "#api/app.ts";
import { keepHere } from "../saved.ts";

test("one JSON line for each refusal and write, none for looks and questions, nothing of what was sent", async () => {
  const folder = mkdtempSync(join(tmpdir(), "fineband-log-"));
  const place = join(folder, "log.jsonl");
  const here = await keepHere();
  const tell = makeLog(place, "write", () => new Date(0));
  const app = makeApp({ store: here.store, uiFolder: null, log: () => {}, tell });
  const send = async (path: string, body: unknown, headers: Readonly<Record<string, string>> = {}) =>
    app.request(path, {
      method: "POST",
      headers: { "content-type": "application/json", ...headers },
      body: JSON.stringify(body),
    });
  await app.request("/api/lots");
  await send("/api/describe", { text: "1 2" });
  await send("/api/lots", { name: "secret lot", densityGPerCm3: 4.55 }, { "x-by": "ada%0Aforged" });
  await send("/api/copy", { lots: [] }, { "sec-fetch-site": "cross-site" });
  await send("/api/session", { name: "ada", password: "a long walk by the sea" });
  await app.request("/api/nothing%0A%7B%22event%22?token=secret", {
    headers: { authorization: "Bearer secret" },
  });
  tell(faultEvent(new Error("broken\nforged line")));
  const text = readFileSync(place, "utf8");
  const lines = text
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line));
  expect(lines.map(({ event, status }) => [event, status])).toEqual([
    ["write", 201],
    ["refusal", 403],
    ["sign-in refused", 409],
    ["refusal", 404],
    ["fault", undefined],
  ]);
  expect(lines[0]).toMatchObject({ at: "1970-01-01T00:00:00.000Z", method: "POST", path: "/api/lots" });
  expect(text).not.toMatch(/secret|long walk/);
  expect(statSync(place).mode & 0o777).toBe(0o600);
  await here.close();
  symlinkSync(place, join(folder, "link"));
  expect(() => makeLog(join(folder, "link"), "write", () => new Date(0))).toThrow(/link to somewhere else/);
  rmSync(folder, { recursive: true });
});

test("a level leaves out those behind it, and one that is none is refused", () => {
  expect(levelNamed(undefined, "fault")).toBe("fault");
  expect(levelNamed("refusal", "fault")).toBe("refusal");
  expect(() => levelNamed("loud", "fault")).toThrow(/takes fault, refusal, write; found loud/);
});
