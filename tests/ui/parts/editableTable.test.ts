import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  asRowAbove,
  blockOf,
  blockText,
  cellText,
  type EditableColumn,
  filledDown,
  pastedCells,
  readCell,
} from "#ui/parts/editableTableCells.ts";

const speed: EditableColumn = {
  key: "speed",
  label: "Speed",
  unit: "rpm",
  kind: "number",
  isNeeded: true,
  whyNot: (v) => (v > 0 ? null : "a number above 0 rpm"),
};

describe("cells of an editable table", () => {
  test("law: what is copied out and pasted back is identical, whatever it holds", () => {
    const text = fc.string({ unit: fc.constantFrom("a", "1", ".", " ", "\t", "\n", "\r", '"', "µ") });
    const block = fc
      .tuple(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 1, max: 4 }))
      .chain(([rows, columns]) =>
        fc.array(fc.array(text, { minLength: columns, maxLength: columns }), {
          minLength: rows,
          maxLength: rows,
        }),
      )
      // One empty cell alone is an empty clipboard, which holds no row.
      .filter((rows) => rows.at(-1)?.join("") !== "" || rows[0]?.length !== 1);
    fc.assert(
      fc.property(block, (rows) => {
        expect(blockOf(blockText(rows))).toEqual(rows);
      }),
    );
  });

  test("law: a number reads back as the very same number", () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true, min: 1e-300 }), (value) => {
        expect(readCell(speed, cellText(value))).toEqual({ kind: "value", value });
      }),
    );
  });

  test("a line end behind the last row is no row", () => {
    expect(blockOf("1\t2\r\n3\t4\r\n")).toEqual([
      ["1", "2"],
      ["3", "4"],
    ]);
  });

  test("what is no number, out of range, ambiguous or missing says what was expected", () => {
    expect(readCell(speed, "fast")).toMatchObject({ kind: "fault", expected: /^a number in rpm/ });
    expect(readCell(speed, "-5")).toEqual({ kind: "fault", expected: "a number above 0 rpm" });
    expect(readCell(speed, "6,300")).toMatchObject({ kind: "fault", expected: /6300 or 6.3/ });
    expect(readCell(speed, "")).toEqual({ kind: "fault", expected: "a number in rpm" });
    expect(readCell({ ...speed, isNeeded: false }, "")).toEqual({ kind: "value", value: null });
  });

  test("one text fills all that is selected; a block starts at its upper left corner", () => {
    const [a, b] = [
      { row: 2, column: 1 },
      { row: 1, column: 0 },
    ];
    expect(pastedCells([["7"]], a, b)).toHaveLength(4);
    expect(pastedCells([["7", "8"]], a, b)).toEqual([
      { row: 1, column: 0, text: "7" },
      { row: 1, column: 1, text: "8" },
    ]);
  });

  test("fill down takes the top of what is selected, of one row alone the row above", () => {
    const textAt = ({ row, column }: { row: number; column: number }) => `${row}/${column}`;
    expect(filledDown({ row: 3, column: 1 }, { row: 1, column: 1 }, textAt).map((c) => c.text)).toEqual([
      "1/1",
      "1/1",
    ]);
    expect(filledDown({ row: 3, column: 1 }, { row: 3, column: 1 }, textAt)).toEqual([
      { row: 3, column: 1, text: "2/1" },
    ]);
    expect(filledDown({ row: 0, column: 1 }, { row: 0, column: 1 }, textAt)).toEqual([]);
  });

  test("as the row above: empty carried cells only", () => {
    const carried = (key: string): EditableColumn => ({ ...speed, key, isCarried: true });
    const texts = [
      ["1", "2", "3"],
      ["", "5", ""],
    ];
    const columns = [carried("a"), carried("b"), { ...speed, key: "c" }];
    expect(asRowAbove(1, columns, ({ row, column }) => texts[row]?.[column] ?? "")).toEqual([
      { row: 1, column: 0, text: "1" },
    ]);
  });
});
