import { expect, test } from "vitest";
import { countMutants } from "./countMutants.ts";

test("400 damaged tables: no crash, no curve that bends back, none silent", () => {
  const { crashes, bent } = countMutants(1, 400, () => performance.now());
  expect(crashes).toEqual([]);
  expect(bent).toEqual([]);
}, 120_000);
