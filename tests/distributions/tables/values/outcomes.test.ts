import { expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";

// Ours: the four states and their order; rows and columns counted by hand in the text below.
test("each measurement says what became of it, with place, found, expected and remedy", () => {
  const { outcomes, problems } = readTable(
    [
      "upper um,a volume %,b volume %,c,d volume %",
      "1,20,20.2,20,20",
      "2,60,60.2,60,x",
      "4,20,20,20,20",
    ].join("\n"),
    "four.csv",
    {},
  );
  expect(outcomes.map((o) => [o.measurement, o.state])).toEqual([
    ["a volume %", "read with notes"],
    ["b volume %", "read with notes"],
    ["c", "needs an answer"],
    ["d volume %", "refused"],
  ]);
  expect(outcomes[2]?.problems.map((p) => [p.severity, p.column, p.expected])).toContainEqual([
    "question",
    4,
    "number, length, surface, volume",
  ]);
  // By hand: by volume half lies below the middle of the class from 1 to 2 µm in ln size, √2 µm.
  expect(outcomes[2]?.problems.find((p) => p.severity === "question")?.effect).toMatch(
    /; volume: D50 1\.414 µm$/,
  );
  expect(outcomes[3]?.problems).toMatchObject([
    { severity: "refused", row: 3, column: 5, found: "x", expected: "a number" },
  ]);
  expect(problems.some((p) => p.severity === "refused" && p.row === 3)).toBe(true);
});

test("rows of later blocks are those of the file", () => {
  const block = "upper um,volume %\n1,20\n2,60\n4,20\n";
  const { outcomes } = readTable(`${block}\n${block}\n${block.replace("60", "soft")}`, "three.csv", {});
  expect(outcomes.map((o) => o.state)).toEqual(["read with notes", "read with notes", "refused"]);
  expect(outcomes[2]?.problems[0]).toMatchObject({ row: 13, column: 2, found: "soft" });
});
