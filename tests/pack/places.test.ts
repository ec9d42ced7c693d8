import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { strToU8, zipSync } from "fflate";
import { Hono } from "hono";
import { afterAll, expect, test } from "vitest";
import { samplesIn } from "../../api/demoFiles.ts";
import { pageFrom } from "../../api/page.ts";
import { placesOf } from "../../api/places.ts";
import { settingsIn } from "../../api/settings.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "fineband packed "));
afterAll(() => rmSync(folder, { recursive: true }));

const person = { environment: {}, home: "/home/kim", platform: "linux" };

test("a checkout keeps its data within itself, an installed package with the person", () => {
  expect(placesOf(root, person)).toMatchObject({ isInstalled: false, data: join(root, "api/data") });
  // XDG Base Directory 0.8: $XDG_DATA_HOME, or $HOME/.local/share where it is unset, empty or relative.
  const data = (more: object) => placesOf(folder, { ...person, ...more }).data;
  expect(data({})).toBe("/home/kim/.local/share/fineband");
  expect(data({ environment: { XDG_DATA_HOME: "/srv/data" } })).toBe("/srv/data/fineband");
  expect(data({ environment: { XDG_DATA_HOME: "data" } })).toBe("/home/kim/.local/share/fineband");
  expect(data({ platform: "darwin" })).toBe("/home/kim/Library/Application Support/Fineband");
});

test("settings come from the environment, then from a file, and one that there is not is named", () => {
  expect(placesOf(root, person).settings).toBeNull();
  expect(placesOf(folder, person).settings).toBe("/home/kim/.config/fineband/fineband.conf");
  const at = (more: object) => placesOf(folder, { ...person, ...more }).settings;
  expect(at({ environment: { XDG_CONFIG_HOME: "/etc/kim" } })).toBe("/etc/kim/fineband/fineband.conf");
  const path = join(folder, "lab.conf");
  writeFileSync(path, '# the mill room\nPORT=8500\nFINEBAND_HOSTS="mill room"\n');
  const named = { FINEBAND_SETTINGS: path };
  expect(placesOf(root, { ...person, environment: named }).settings).toBe(path);
  expect(settingsIn(path, { environment: { ...named, PORT: "8600" } })).toEqual({
    FINEBAND_HOSTS: "mill room",
  });
  expect(settingsIn(join(folder, "none.conf"), person)).toBeNull();
  expect(() => settingsIn(join(folder, "none.conf"), { environment: named })).toThrow(
    "there is no such file",
  );
  writeFileSync(path, "FINEBAND_DATE=/srv\n");
  expect(() => settingsIn(path, person)).toThrow(
    "there is no setting FINEBAND_DATE. Did you mean FINEBAND_DATA?",
  );
});

test("the demo's files and the page are the same out of an archive", async () => {
  const samples = join(folder, "samples.zip");
  const held = {
    "lots/a.json": strToU8("{}"),
    "lots/a/milled.csv": strToU8("x"),
    "mill/mill.json": strToU8("m"),
  };
  writeFileSync(samples, zipSync(held));
  const files = samplesIn(samples);
  expect(files.names("lots")).toEqual(["a", "a.json"]);
  expect(files.names("none")).toEqual([]);
  expect(files.text("lots/a/milled.csv")).toBe("x");
  expect(() => files.text("lots/b.json")).toThrow("The demo has no file lots/b.json.");

  const page = join(folder, "page.zip");
  writeFileSync(
    page,
    zipSync({ "index.html": strToU8("<p>"), "assets/a.js": strToU8("1"), "assets/a.js.gz": strToU8("z") }),
  );
  const app = new Hono().use("/*", pageFrom(page));
  const ask = async (path: string, headers = {}) => {
    const answer = await app.request(path, { headers });
    return [answer.status, answer.headers.get("content-encoding"), await answer.text()];
  };
  expect(await ask("/")).toEqual([200, null, "<p>"]);
  expect(await ask("/assets/a.js")).toEqual([200, null, "1"]);
  expect(await ask("/assets/a.js", { "accept-encoding": "gzip" })).toEqual([200, "gzip", "z"]);
  expect((await ask("/assets/../index.html"))[0]).toBe(200);
  expect((await ask("/assets/b.js"))[0]).toBe(404);
});

test.each(["18.20.4", "20.18.3"])("Node %s is told in one sentence that it is too old", (version) => {
  const code = `Object.defineProperty(process.versions, "node", { value: "${version}" }); require("./api/bin.cjs")`;
  const { status, stdout, stderr } = spawnSync(process.execPath, ["-e", code], {
    cwd: root,
    encoding: "utf8",
  });
  expect([status, stdout]).toEqual([3, ""]);
  expect(stderr).toBe(
    `Fineband needs Node 20.19 or later; this is ${version}. Install a newer Node and try again.\n`,
  );
});
