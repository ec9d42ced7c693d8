import { expect, test } from "vitest";
import { layoutKey } from "#distributions/tables/reading/layoutKey.ts";

test("tables of one layout have one key, whatever their numbers; lines that speak of neither size nor share are left out", () => {
  const key = layoutKey("operator: one\r\nsize 7 um,volume %\r\n1,20\r\n2,80\r\n");
  expect(key).toBe("size # um,volume %");
  expect(layoutKey("operator: two\nsize 8 um,volume %\n1.5,30\n2,70\n")).toBe(key);
  expect(layoutKey("size 7 um,number %\n1,20\n2,80\n")).not.toBe(key);
  expect(layoutKey("size um\nvolume %\n")).toBe("size um\nvolume %");
  expect(layoutKey("1,20\n2,80\n")).toBe("");
});

test("sixty lines are looked at, and two thousand signs kept", () => {
  expect(layoutKey(`${"\n".repeat(59)}size um`)).toBe("size um");
  expect(layoutKey(`${"\n".repeat(60)}size um`)).toBe("");
  expect(layoutKey(`size um${",volume %".repeat(999)}`)).toHaveLength(2000);
});
