import { expect, test } from "vitest";
import { countLayouts } from "./countLayouts.ts";

test("200 random layouts of known powders: none misread, 98 % without a question beyond quantity and edge", () => {
  const { misread, unread } = countLayouts(1, 200);
  expect(misread).toEqual([]);
  expect(unread.length, unread.join("\n")).toBeLessThanOrEqual(4);
}, 120_000);
