import { expect, test } from "vitest";
import { agoText } from "#ui/parts/format.ts";

// Ours: whole units, the largest that fits, never rounded up.
test.each([
  [0.4, "just now"],
  [3.9, "3 s ago"],
  [59.9, "59 s ago"],
  [60, "1 min ago"],
  [3599, "59 min ago"],
  [7300, "2 h ago"],
])("%s s: %s", (seconds, words) => {
  expect(agoText(seconds)).toBe(words);
});
