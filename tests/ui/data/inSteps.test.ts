import { expect, test } from "vitest";
import type { Steps } from "#model/numbers/pausing.ts";
import { inSteps } from "#ui/data/inSteps.ts";

const pause = (ms = 0) => new Promise((resolve) => setTimeout(resolve, ms));

function* longSum(steps: number, eachMs: number): Steps<number> {
  let sum = 0;
  for (let i = 1; i <= steps; i++) {
    const until = performance.now() + eachMs;
    while (performance.now() < until);
    sum += i;
    yield;
  }
  return sum;
}

const answered = <T>(steps: Steps<T>) => {
  const given: (() => T)[] = [];
  const work = inSteps(steps, (answer) => given.push(answer));
  return { work, given, answer: (): T | null => given[0]?.() ?? null };
};

test("between stretches the page has its turn", async () => {
  const { answer } = answered(longSum(10, 5));
  let turns = 0;
  while (answer() === null) {
    await pause();
    turns++;
  }
  expect(answer()).toBe(55);
  expect(turns).toBeGreaterThanOrEqual(5);
});

test("what is stopped never answers; what is finished answers at once, and once", async () => {
  const stopped = answered(longSum(3, 1));
  stopped.work.stop();
  const hurried = answered(longSum(3, 1));
  hurried.work.finish();
  expect(hurried.answer()).toBe(6);
  hurried.work.finish();
  await pause(30);
  expect(hurried.given.length).toBe(1);
  expect(stopped.answer()).toBeNull();
});

test("a fault is thrown where the answer is asked for", async () => {
  function* faulty(): Steps<number> {
    yield;
    throw new RangeError("no class at all");
  }
  const { answer } = answered(faulty());
  await pause(5);
  expect(answer).toThrow("no class at all");
});
