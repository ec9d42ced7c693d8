import { expect, test } from "vitest";
import { killWhileWriting } from "./killed.ts";
import { writeAtOnce } from "./writers.ts";

/** `npm run hard` goes the whole way; every test run goes a short one. */
const isWhole = process.env["FINEBAND_HARD"] === "whole";
const [kills, writers, entries] = isWhole ? [50, 20, 50] : [3, 6, 5];

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
