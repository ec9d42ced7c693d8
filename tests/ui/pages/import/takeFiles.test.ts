import { expect, test } from "vitest";
import { tables } from "../../../../ui/data/incoming.ts";
import { readingOf } from "../../../../ui/data/readTables.ts";
import { takeFiles } from "../../../../ui/pages/import/importState.ts";

test("a folder among dropped files is refused by name, and the others are read", async () => {
  const folder = new File([], "folder");
  folder.arrayBuffer = () => Promise.reject(new DOMException("not a file", "NotFoundError"));
  await takeFiles([folder, new File(["upper um,volume %\n1,20\n2,60\n4,20\n"], "a.csv")]);
  expect(tables.value.map((t) => t.file)).toEqual(["folder", "a.csv"]);
  const [first, second] = tables.value.map(readingOf);
  expect(first?.problems).toMatchObject([{ severity: "refused", file: "folder" }]);
  expect(second?.measurements.length).toBe(1);
});
