import { type Problem, problem } from "#distributions/problem.ts";

/** What one part of a workbook holds, seen while it is unpacked and thrown away again. */
export interface PartScan {
  readonly bytes: number;
  readonly opening: string;
  readonly declaresEntities: boolean;
  readonly isSheet: boolean;
  readonly cells: number;
  /** The farthest row and column that any cell names. */
  readonly rows: number;
  readonly columns: number;
  /** A place that is none, such as "A1e9"; null where all are plain. */
  readonly oddPlace: string | null;
}

/** As the reader of tables has it, and as many places as a person's table could fill. */
const maxRows = 200_000;
const maxColumns = 20_000;
const maxPlaces = 5e6;
const maxCells = 2e6;
/** What is looked for is shorter; so much of a chunk is looked at again with the next. */
const overlap = 96;
const looked =
  /<!(?:DOCTYPE|ENTITY)|<(?:\w{1,20}:)?(?:sheetData|c)(?=[\s/>])|["'\s]r\s{0,8}=\s{0,8}(?:"[^"]{0,40}"?|'[^']{0,40}'?)/gi;

/** Takes a part chunk by chunk, in one byte a letter; two-byte text loses its zeros and reads the same. */
export function partScan(): { take: (chunk: Uint8Array) => void; found: () => PartScan } {
  let scan: PartScan = {
    bytes: 0,
    opening: "",
    declaresEntities: false,
    isSheet: false,
    cells: 0,
    rows: 0,
    columns: 0,
    oddPlace: null,
  };
  let rest = "";
  const latin = new TextDecoder("latin1");
  return {
    take(chunk) {
      const text = rest + latin.decode(chunk).replaceAll("\0", "");
      const counted = Math.max(0, text.length - overlap);
      scan = afterText(scan, text, counted);
      rest = text.slice(counted);
      scan = {
        ...scan,
        bytes: scan.bytes + chunk.length,
        opening: scan.opening === "" ? text.trimStart().slice(0, 8) : scan.opening,
      };
    },
    found: () => afterText(scan, rest, rest.length),
  };
}

/** What stands in a text before a place in it is counted; what begins later is left to the next chunk. */
function afterText(scan: PartScan, text: string, counted: number): PartScan {
  let { declaresEntities, isSheet, cells, rows, columns, oddPlace } = scan;
  looked.lastIndex = 0;
  for (let match = looked.exec(text); match !== null && match.index < counted; match = looked.exec(text)) {
    const [found] = match;
    // The next search may begin inside this one: a quote ends one attribute and goes before another.
    looked.lastIndex = match.index + Math.max(1, found.length - 1);
    if (found.startsWith("<!")) declaresEntities = true;
    else if (/sheetData$/i.test(found)) isSheet = true;
    else if (found.startsWith("<")) cells++;
    else {
      const place = found
        .slice(found.indexOf("=") + 1)
        .trim()
        .slice(1, -1);
      const [, letters, digits] = /^([A-Z]{0,3})(\d{1,9})$/.exec(place) ?? [];
      if (letters === undefined || digits === undefined) oddPlace ??= place.slice(0, 40);
      else {
        rows = Math.max(rows, Number(digits));
        columns = Math.max(columns, columnOf(letters));
      }
    }
  }
  return { ...scan, declaresEntities, isSheet, cells, rows, columns, oddPlace };
}

function columnOf(letters: string): number {
  let column = 0;
  for (const letter of letters) column = 26 * column + letter.charCodeAt(0) - 64;
  return column;
}

/** Why a part is not opened; null where all is well. */
export function scanFault(scan: PartScan, name: string): Problem | null {
  const refused = (message: string, found: string, expected: string) =>
    problem("refused", message, { found, expected });
  if (scan.declaresEntities)
    return refused(
      `The part "${name}" of the workbook declares entities, which no table needs, and was not opened. Ask where it came from.`,
      "a document type",
      "plain cells",
    );
  if (scan.opening !== "" && !/^(?:\u00ef\u00bb\u00bf|\u00fe\u00ff|\u00ff\u00fe)?\s*</.test(scan.opening))
    return refused(
      `The part "${name}" of the workbook is not what its name says, and was not opened. Save the workbook again, or make it a CSV file.`,
      "other bytes than a part of a workbook has",
      "a whole .xlsx file",
    );
  if (!scan.isSheet) return null;
  if (scan.oddPlace !== null)
    return refused(
      `A cell of the part "${name}" stands at "${scan.oddPlace}", which is no place in a sheet. Save the workbook again, or make it a CSV file.`,
      scan.oddPlace,
      "a place such as B12",
    );
  const large = sizeWords(scan);
  if (large !== null)
    return refused(
      `A sheet of the workbook (the part "${name}") reaches over ${large}, more than is read at once, and was not opened. Take out what stands far from the table, or save the table in a CSV file.`,
      large,
      "at most 200,000 rows, 20,000 columns and 5 million places",
    );
  return null;
}

function sizeWords({ rows, columns, cells }: PartScan): string | null {
  if (rows > maxRows) return `${rows} rows`;
  if (columns > maxColumns) return `${columns} columns`;
  if (rows * columns > maxPlaces) return `${rows} rows and ${columns} columns`;
  return cells > maxCells ? `${cells} cells` : null;
}
