import { strToU8 } from "fflate";

const head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>';
const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const related = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

export function sheetOf(rows: readonly (readonly (string | number)[])[]): string {
  const cells = rows.map((row, r) => {
    const inside = row.map((cell, c) => {
      const at = `${String.fromCharCode(65 + c)}${r + 1}`;
      return typeof cell === "number"
        ? `<c r="${at}"><v>${cell}</v></c>`
        : `<c r="${at}" t="inlineStr"><is><t>${cell}</t></is></c>`;
    });
    return `<row r="${r + 1}">${inside.join("")}</row>`;
  });
  return `${head}<worksheet xmlns="${main}"><sheetData>${cells.join("")}</sheetData></worksheet>`;
}

/** An invented workbook, part by part. */
export function parts(sheets: readonly string[]): Record<string, Uint8Array> {
  const list = sheets
    .map((_, i) => `<sheet name="Sheet ${i + 1}" sheetId="${i + 1}" r:id="rId${i + 1}"/>`)
    .join("");
  const links = sheets
    .map(
      (_, i) =>
        `<Relationship Id="rId${i + 1}" Type="${related}/worksheet" Target="worksheets/sheet${i + 1}.xml"/>`,
    )
    .join("");
  const files: Record<string, string> = {
    "[Content_Types].xml": `${head}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
    "_rels/.rels": `${head}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="${related}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
    "xl/workbook.xml": `${head}<workbook xmlns="${main}" xmlns:r="${related}"><sheets>${list}</sheets></workbook>`,
    "xl/_rels/workbook.xml.rels": `${head}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">${links}</Relationships>`,
  };
  sheets.forEach((sheet, i) => {
    files[`xl/worksheets/sheet${i + 1}.xml`] = sheet;
  });
  return Object.fromEntries(Object.entries(files).map(([name, text]) => [name, strToU8(text)]));
}

export const table = (name: string) => [
  ["lower um", "upper um", name],
  [0.5, 1.259, 20],
  [1.259, 2, 60],
  [2, 4, 20],
];
