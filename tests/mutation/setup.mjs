// Properties draw the same cases for every change, and stop at the first that fails. Where the tree is marked, each
// test file writes down the marks it came by: as it was loaded, and in each of its tests.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { afterAll, afterEach, beforeEach, expect } from "vitest";

fc.configureGlobal({ seed: 1, endOnFailure: true });

const loading = new Set();
const tests = [];
let begun = 0;
globalThis.reached = loading;

beforeEach(() => {
  globalThis.reached = new Set();
  begun = performance.now();
});
afterEach(({ task }) => {
  const ms = performance.now() - begun;
  if (globalThis.reached.size > 0) tests.push({ id: task.id, ms, marks: [...globalThis.reached] });
  globalThis.reached = loading;
});
afterAll(() => {
  if (loading.size === 0 && tests.length === 0) return;
  const name = encodeURIComponent(expect.getState().testPath.slice(process.env.MARKED_ROOT.length + 1));
  const path = join(process.env.MARKED_ROOT, ".reached", name);
  writeFileSync(path, JSON.stringify({ loading: [...loading], tests }));
});
