import { plainLetters } from "#distributions/tables/text/lexicon.ts";
import { limitedIn } from "./targetWords.ts";

/** A line that names what it limits; counted from 1 in the text as received. */
interface TargetLine {
  readonly line: string;
  readonly row: number;
}

interface CellsOfLine {
  readonly cells: readonly string[];
  readonly row: number;
}

/** A target line by line: tables are put into lines, each naming what it limits. */
export function linesOf(text: string): readonly TargetLine[] {
  const lines = partedLines(text);
  const table = lines.filter(({ cells }) => cells.length > 1 && cells.some((cell) => cell !== ""));
  const [heading, ...body] = table;
  const isAcross =
    heading !== undefined &&
    body.length > 0 &&
    (heading.cells.filter(isBareName).length > 1 ||
      (heading.cells.some(isBareName) && columnWord(body[0]?.cells[0] ?? "") !== ""));
  if (isAcross) return acrossLines(heading.cells, body);
  const words = (heading?.cells ?? []).map(columnWord);
  const units = (heading?.cells ?? []).map(unitBehind);
  const isDown =
    words.some((word) => word !== "") &&
    body.length > 0 &&
    !heading?.cells.slice(1).some((cell) => /\d/.test(cell));
  const source = isDown ? body : lines;
  return source.flatMap(({ cells, row }) => {
    const line = cells
      .map((cell, i) =>
        isDown && cell !== "" && /\d/.test(cell) && i > 0
          ? `${words[i] ?? ""} ${cell} ${units[i] ?? ""}`.trim()
          : cell,
      )
      .filter((cell) => cell !== "")
      .join(" ");
    return line === "" ? [] : [{ line, row }];
  });
}

/** Cells by tabs, semicolons or bars; by commas only where each line has as many and the cells behind the first are whole. */
function partedLines(text: string): readonly CellsOfLine[] {
  const given = text.split(/\r?\n/);
  const parted = (cellsOf: (line: string) => readonly string[]) =>
    given.map((line, i) => ({ cells: cellsOf(line).map((cell) => cell.trim()), row: i + 1 }));
  const lines = parted((line) => line.split(/[\t;|]/));
  if (lines.some(({ cells }) => cells.length > 1)) return lines;
  const byComma = parted((line) =>
    [...line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/g)].map(([, quoted, plain]) => quoted ?? plain ?? ""),
  ).filter(({ cells }) => cells.some((cell) => cell !== ""));
  const [first] = byComma;
  // Without a heading or a point, "D50, ≥ 2,71" holds a decimal comma.
  const hasDecimalCommas = !text.includes(".") && first?.cells.slice(1).some((cell) => /\d/.test(cell));
  const isTable =
    first !== undefined &&
    hasDecimalCommas === false &&
    first.cells.length > 2 &&
    byComma.every(
      ({ cells: [name = "", ...cells] }) =>
        cells.length === first.cells.length - 1 &&
        !/\d/.test(limitedIn(name)?.rest ?? "") &&
        cells.every((cell) => /^(?:[±≤≥<>]?\s*[\d.]*|[^\d]*|\D{0,6}m[2²]\/k?g)$/.test(cell)),
    );
  return isTable ? byComma : lines;
}

/** The name of a limit without its numbers; those of a unit stand behind letters. */
function isBareName(cell: string): boolean {
  const limited = limitedIn(cell);
  return limited !== null && !/(?<!\p{L})\d/u.test(limited.rest);
}

/** Each value of rows such as "min", "max" and "target" under the name of what it limits. */
function acrossLines(heading: readonly string[], body: readonly CellsOfLine[]): readonly TargetLine[] {
  const isLabelled = limitedIn(heading[0] ?? "") === null;
  return heading.flatMap((name, column) => {
    // A name that is not known is refused with its values, once they stand in a line.
    if (name === "" || (limitedIn(name) === null && column === 0)) return [];
    const parts = body.flatMap(({ cells }) => {
      const word = isLabelled ? columnWord(cells[0] ?? "") : "";
      const cell = cells[column] ?? "";
      return cell === "" ? [] : [`${word} ${cell} ${isLabelled ? unitBehind(cells[0] ?? "") : ""}`.trim()];
    });
    const [first] = body;
    return first === undefined || parts.length === 0
      ? []
      : [{ line: `${name} ${parts.join(" ")}`, row: first.row }];
  });
}

// Words of ten languages; common practice, no source.
const lower =
  /^(?:min|low|from$|lsl|inf|unter|von$|≥|lim\p{L}*\.? inf|de$|da$|desde|нижн|мин|от$|最小|最低|下限|최소|하한)/u;
const upper =
  /^(?:max|high|upper|to$|usl|sup|ober|bis$|≤|mass|lim\p{L}*\.? sup|a$|hasta|ate$|верх|макс|до$|最大|最高|上限|최대|상한)/u;
const tolerance = /^(?:±|\+\/-|tol|plus|допуск|公差|許容|허용|공차)/u;

/** How a line writes what a column or row of this name holds. */
function columnWord(heading: string): string {
  const letters = plainLetters(heading)
    .trim()
    .replace(/\s*[([].*$/, "");
  if (lower.test(letters)) return "min";
  if (upper.test(letters)) return "max";
  return tolerance.test(letters) ? "±" : "";
}

/** A unit that such a name has behind it. */
function unitBehind(heading: string): string {
  return limitedIn(heading) === null && columnWord(heading) !== ""
    ? (/(?:%|(?<!\p{L})(?:[uµμ]m|nm|mm))(?=\s*[)\]]?\s*$)/iu.exec(heading)?.[0] ?? "")
    : "";
}
