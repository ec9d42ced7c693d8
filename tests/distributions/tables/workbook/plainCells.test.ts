import { strToU8, zipSync } from "fflate";
import { describe, expect, test } from "vitest";
import { readTable } from "#distributions/tables/readTable.ts";
import { workbookText } from "#distributions/tables/workbook/workbook.ts";
import { parts } from "./workbookParts.ts";

// Numbers of formats, types of cells and what hides them: ECMA-376 Part 1, 18.8.30, 18.18.11, 18.3.1.13, 18.3.1.73.
const styles = `<styleSheet><numFmts count="2"><numFmt numFmtId="164" formatCode="0.0##%"/><numFmt numFmtId="165" formatCode="0.0&quot; %&quot;"/></numFmts><cellStyleXfs><xf numFmtId="9"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="10"/><xf numFmtId="164"/><xf numFmtId="165"/></cellXfs></styleSheet>`;

async function textOf(sheet: string, workbook?: (text: string) => string): Promise<string> {
  const files = parts([sheet]);
  files["xl/styles.xml"] = strToU8(styles);
  const links = new TextDecoder().decode(files["xl/_rels/workbook.xml.rels"]);
  files["xl/_rels/workbook.xml.rels"] = strToU8(
    links.replace(
      "</Relationships>",
      '<Relationship Id="rIdS" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>',
    ),
  );
  if (workbook !== undefined)
    files["xl/workbook.xml"] = strToU8(workbook(new TextDecoder().decode(files["xl/workbook.xml"])));
  const text = await workbookText(zipSync(files));
  return typeof text === "string" ? text : `refused: ${text.message}`;
}

const word = (at: string, text: string) => `<c r="${at}" t="inlineStr"><is><t>${text}</t></is></c>`;
const number = (at: string, value: string, style = "0") => `<c r="${at}" s="${style}"><v>${value}</v></c>`;
const heading = `<row r="1">${word("A1", "upper edge um")}${word("B1", "volume in class")}${word("C1", "ratio")}</row>`;
const sheetOf = (style: string, rows: string, before = "") =>
  `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">${before}<sheetData>${heading}${rows}</sheetData></worksheet>`.replaceAll(
    'S"',
    `${style}"`,
  );
const shares = ["0.105", "0.395", "0.4", "0.1"];
const rows = (third: (r: number) => string = () => "", attributes: (r: number) => string = () => "") =>
  shares
    .map(
      (v, i) =>
        `<row r="${i + 2}"${attributes(i + 2)}>${number(`A${i + 2}`, String(2 ** i))}${number(`B${i + 2}`, v, "S")}${third(i + 2)}</row>`,
    )
    .join("");

describe("what only the formats of a workbook tell", () => {
  test.each(["1", "2"])("numbers under a per cent format (style %s) are per cent", async (style) => {
    const text = await textOf(sheetOf(style, rows()));
    expect(text.split("\n").map((line) => line.split("\t")[1])).toEqual([
      "volume in class",
      "10.5%",
      "39.5%",
      "40%",
      "10%",
    ]);
    const { measurements, how } = readTable(text, "lot.xlsx", {});
    expect(measurements[0]?.distribution.shares).toEqual([0.105, 0.395, 0.4, 0.1]);
    expect(how.find((guess) => guess.option === "scale")).toMatchObject({
      value: "percent",
      source: "table",
    });
  });

  test.each(["0", "3"])(
    "a format without per cent, or with the sign in quotes (style %s), leaves them",
    async (style) =>
      expect((await textOf(sheetOf(style, rows()))).split("\n")[1]?.split("\t")[1]).toBe("0.105"),
  );

  test("an error in a cell beside the table does not stop it from being read", async () => {
    const text = await textOf(
      sheetOf(
        "1",
        rows((r) => `<c r="C${r}" t="e"><v>#DIV/0!</v></c>`),
      ),
    );
    expect(text).toContain("#DIV/0!");
    expect(readTable(text, "lot.xlsx", {}).measurements).toHaveLength(1);
  });

  test("an error among the shares is refused with its place", async () => {
    const text = await textOf(
      sheetOf(
        "1",
        rows()
          .replace('<c r="B3" s="1"><v>0.395</v>', '<c r="B3" t="e"><v>#N/A</v>')
          .replace(/<c r="B3" s="S"><v>0.395<\/v>/, '<c r="B3" t="e"><v>#N/A</v>'),
      ),
    );
    const { measurements, problems } = readTable(text, "lot.xlsx", {});
    expect(measurements).toEqual([]);
    expect(problems.find((p) => p.severity === "refused")).toMatchObject({
      row: 3,
      column: 2,
      found: "#N/A",
    });
  });
});

describe("what a workbook hides", () => {
  test("hidden rows and columns are read and said, with the rows of the sheet", async () => {
    const text = await textOf(
      sheetOf(
        "1",
        rows(undefined, (r) => (r === 3 ? ' hidden="1"' : "")),
        '<cols><col min="2" max="2" hidden="true"/></cols>',
      ),
    );
    const { measurements, problems } = readTable(text, "lot.xlsx", {});
    expect(measurements[0]?.distribution.shares).toEqual([0.105, 0.395, 0.4, 0.1]);
    expect(problems.map((p) => p.message)).toContain(
      "The workbook hides row 3 and column 2: it was read as all else is. Take it out of the workbook if it does not belong to the table.",
    );
  });

  test("a hidden sheet likewise", async () => {
    const text = await textOf(sheetOf("1", rows()), (all) =>
      all.replace("<sheet ", '<sheet state="hidden" '),
    );
    expect(readTable(text, "lot.xlsx", {}).problems.map((p) => p.found)).toContain("the whole sheet");
  });
});
