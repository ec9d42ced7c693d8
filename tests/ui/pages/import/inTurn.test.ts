import { expect, test } from "vitest";
import { inTurn, progress, stopInTurn } from "../../../../ui/pages/import/inTurn.ts";

test("work on many files says how far it is, and ends after the one at which it was stopped", async () => {
  const seen: string[] = [];
  const done = await inTurn(["a", "b", "c", "d"], "Reading", async (name) => {
    seen.push(`${name} ${progress.value?.done} of ${progress.value?.of}`);
    if (name === "b") stopInTurn();
    return true;
  });
  expect([done, seen, progress.value]).toEqual([2, ["a 0 of 4", "b 1 of 4"], null]);
});

test("work that fails at one leaves those behind it, and one alone shows no progress", async () => {
  expect(await inTurn([1, 2, 3], "Saving", async (n) => n !== 2)).toBe(1);
  await inTurn([1], "Saving", async () => {
    expect(progress.value).toBe(null);
    return true;
  });
});
