import { rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { sizeDistribution } from "#distributions/sizeDistribution.ts";
import { ownDoing } from "../../api/store/ledger/ledger.ts";
import { healthWhileBusy } from "./busy.ts";
import { changeWhileDeveloping } from "./developing.ts";
import { endWhileWriting } from "./ended.ts";
import { canFail, letFail } from "./faults.ts";
import { killWhileStarting, startAtOnce } from "./firstStart.ts";
import { flipOnce, templateOf } from "./flips.ts";
import { killWhileWriting } from "./killed.ts";
import { canCertify, throughTls } from "./tlsFront.ts";
import { writeAtOnce } from "./writers.ts";

/** `npm run hard` goes the whole way; every test run goes a short one. */
const isWhole = process.env["FINEBAND_HARD"] === "whole";
const [kills, writers, entries, starts, flips] = isWhole ? [50, 20, 50, 40, 200] : [3, 6, 5, 4, 5];

test(`killed ${starts} times at its first start, the server leaves the whole demo or none of it`, async () => {
  const found = await killWhileStarting(starts);
  console.log(JSON.stringify(found));
  expect(found.none + found.whole).toBe(starts);
  expect(found).toMatchObject({ half: 0, notWholeLater: 0 });
}, 900_000);

test("of three servers that start at once on one empty folder, one makes the demo", async () => {
  const found = await startAtOnce(3);
  expect(found).toMatchObject({ started: 3, lots: found.expected, faults: [] });
}, 900_000);

test(`killed ${kills} times while it writes, the server loses nothing acknowledged and keeps nothing by half`, async () => {
  const found = await killWhileWriting(kills);
  console.log(JSON.stringify(found));
  expect(found.acknowledged).toBeGreaterThan(0);
  expect(found).toMatchObject({ lost: 0, half: 0, faults: 0 });
}, 900_000);

test(`${writers} writers × ${entries} entries through two servers on one file are each kept once`, async () => {
  const found = await writeAtOnce(writers, entries);
  console.log(JSON.stringify(found));
  expect(found).toMatchObject({ kept: writers * entries, twice: 0, refusals: [], faults: [] });
}, 900_000);

test("told to end while it saves, the server answers what has come, loses nothing and exits 0", async () => {
  const found = await endWhileWriting(isWhole ? 200 : 12);
  console.log(JSON.stringify(found));
  expect(found.acknowledged).toBeGreaterThan(0);
  expect(found).toMatchObject({ lost: 0, unanswered: 0, code: 0 });
}, 900_000);

const failingSource = fileURLToPath(new URL("failing.c", import.meta.url));
test.skipIf(!canFail())(
  `calls of the system that fail, ${isWhole ? 160 : 4} of them, lose nothing that was answered as saved; once they go well all does`,
  async () => {
    const found = await letFail(failingSource, isWhole ? 160 : 4, 3);
    console.log(JSON.stringify(found));
    expect(found.acknowledged).toBeGreaterThan(0);
    expect(found).toMatchObject({ unsaid: [], notAgain: [], savedThoughRefused: 0, verify: [] });
  },
  900_000,
);

const curve = sizeDistribution({ quantity: "volume", lowerUm: [1, 2], upperUm: [2, 4], shares: [0.4, 0.6] });
const twoRuns = ["run 1", "run 2"].map((name) => ({ name, file: null, distribution: curve }));

test.each([
  ["file", false],
  ["log", true],
])(
  "a bit that flips in the %s of a small store is never answered unmarked, and mending makes nothing worse",
  async (_, logged) => {
    const template = await templateOf(async (store) => {
      await store.keepLot(
        { name: "A", material: "garnet", densityGPerCm3: 4, bandId: null, note: "" },
        ownDoing,
      );
      await store.keepMeasurements(
        { lotId: 1, stage: "milled" },
        twoRuns,
        { file: "a", text: "b", options: {} },
        ownDoing,
      );
    }, logged);
    for (let seed = 1; seed <= flips; seed++)
      expect(await flipOnce(template, seed)).toMatchObject({
        wrong: [],
        saidSound: false,
        uselessBackup: null,
        worse: [],
        unsaid: [],
      });
    rmSync(template.folder, { recursive: true });
  },
  900_000,
);

// Sources: RFC 6797 (HSTS), RFC 6265bis (the __Host- prefix), RFC 6750 (bearer tokens); from memory.
test.skipIf(!canCertify())(
  `behind a front that ends TLS one signs in, saves and asks by a token; what did not come by TLS is refused (the certificate needs openssl: ${canCertify() ? "there" : "absent here"})`,
  async () => {
    expect(await throughTls()).toEqual({
      notSignedIn: 401,
      wrongPassword: 401,
      signedIn: 200,
      cookie: "__Host-fineband=…; Path=/; HttpOnly; Secure; SameSite=Strict",
      hsts: "max-age=31536000",
      reads: 200,
      saves: 201,
      fromAnotherPage: 403,
      token: 201,
      readsByToken: 200,
      savesByReadersToken: 403,
      signedOut: 204,
      afterwards: 401,
      pastTheFront: 403,
    });
  },
  900_000,
);

// The time asked for is of a machine of its own; beside other tests the questions are few, and so is what is promised.
const [questions, runs, busyMs, healthMs] = isWhole ? [20, 500, 40_000, 50] : [4, 20, 1500, 500];
test(`${questions} of the heaviest questions stop nobody else`, async () => {
  const found = await healthWhileBusy({ questions, runs, classes: 100, forMs: busyMs });
  console.log(JSON.stringify(found));
  expect(found.healthP95Ms).toBeLessThanOrEqual(healthMs);
  expect(found.nextS).toBeLessThan(20);
}, 900_000);

// Eight seconds of the processor go to the start alone, so that no short way of it is in every test run.
if (isWhole)
  test("`npm run dev` takes a saved line up within 3 s of the processor, for page and server", async () => {
    const found = await changeWhileDeveloping();
    console.log(JSON.stringify(found));
    for (const [change, seconds] of Object.entries(found)) expect(seconds, change).toBeLessThanOrEqual(3);
  }, 900_000);
