import { expect, test } from "vitest";
import { numberOf } from "#ui/parts/numberText.ts";
import { marksOf, withMarks } from "#ui/shell/chosenNumbers.ts";

// Marks as the Unicode locale data (CLDR) that every browser carries has them; from memory.
test("marks are those of the locale", () => {
  expect(marksOf("en-GB")).toEqual({ decimal: ".", group: "," });
  expect(marksOf("de-DE")).toEqual({ decimal: ",", group: "." });
  expect(marksOf("fr-FR").decimal).toBe(",");
  expect(marksOf("es-ES").group).toBe(".");
});

test("numbers of a text change their marks; versions, names, lists and moments do not", () => {
  const german = (text: string, names: readonly string[] = []) => withMarks(text, marksOf("de-DE"), names);
  expect(german("D90 7.64 µm (95 %: 7.57–7.70), 6,280 rpm, 1,234.5 and −0.05.")).toBe(
    "D90 7,64 µm (95 %: 7,57–7,70), 6.280 rpm, 1.234,5 and −0,05.",
  );
  for (const same of ["version 0.1.0", "127.0.0.1", "D[4,3]", "1,2,3", "26 Nov 2026, 14:05", "lot 07"])
    expect(german(same)).toBe(same);
  expect(german("Batch 1.5 (b): 1.5 µm", ["Batch 1.5 (b)"])).toBe("Batch 1.5 (b): 1,5 µm");
});

test("a field takes the chosen mark, and asks where the other one could mean a thousand", () => {
  expect(numberOf("1,250", ",")).toEqual({ kind: "number", value: 1.25 });
  expect(numberOf("0.86", ",")).toEqual({ kind: "number", value: 0.86 });
  expect(numberOf("1.250", ",")).toEqual({
    kind: "unclear",
    why: "Is it 1250 or 1.25? Write it without the point.",
  });
  expect(numberOf("6\u202f280", ",")).toEqual({ kind: "number", value: 6280 });
  expect(numberOf("6’280")).toEqual({ kind: "number", value: 6280 });
});
