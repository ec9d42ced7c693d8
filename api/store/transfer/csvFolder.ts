import Papa from "papaparse";
import { UnusableInput } from "#api/faults.ts";
import { kindNames, kinds } from "#api/records/kinds.ts";
import { parsed } from "#api/records/stored.ts";
import { wireWord } from "#model/words/wireWords.ts";
import { type Copied, fieldsOf, listName, readOne, refuseLooseEnds } from "./copies.ts";
import { type CsvCell, columnsOf, constantsOf } from "./csvColumns.ts";

const curveColumns = ["quantity", "measuredAs", "inClass", "belowShare", "aboveShare"] as const;
const classColumns = ["lowerUm", "upperUm", "shares"] as const;

type CsvFields = Record<string, unknown>;

/** Everything that stands as CSV texts by file name. */
export function csvFiles(entries: readonly Copied[]): Map<string, string> {
  const files = new Map<string, string>();
  for (const kind of kindNames) {
    const rows: string[][] = [];
    const classes: string[][] = [];
    const field = kinds[kind].curve;
    const columns = columnsOf(kind);
    for (const entry of entries.filter((e) => e.kind === kind)) {
      const body = fieldsOf(JSON.parse(entry.body));
      const cells = columns.map(({ name, cell }) => written(body[wireWord(name)], cell));
      const curve = field === null ? {} : fieldsOf(body[field]);
      const ofCurve = field === null ? [] : curveColumns.map((name) => plain(curve[name]));
      rows.push([String(entry.id), ...cells, ...ofCurve]);
      const [lower = [], upper = [], shares = []] = classColumns.map((name) => listOf(curve[name]));
      for (const [i, share] of shares.entries())
        classes.push([String(entry.id), plain(lower[i]), plain(upper[i]), plain(share)]);
    }
    const heading = [
      "id",
      ...columns.map(({ name }) => wireWord(name)),
      ...(field === null ? [] : curveColumns),
    ];
    files.set(`${listName(kind)}.csv`, csv([heading, ...rows]));
    if (field !== null)
      files.set(`${kind}-classes.csv`, csv([[`${kind}Id`, "lowerUm", "upperUm", "share"], ...classes]));
  }
  return files;
}

/** Reads such files back; every entry is checked before any is kept. @throws UnusableInput */
export function readCsvFiles(files: ReadonlyMap<string, string>): Copied[] {
  if (!kindNames.some((kind) => files.has(`${listName(kind)}.csv`)))
    throw new UnusableInput("There is none of the tables that Fineband saves, such as lots.csv.");
  const entries = kindNames.flatMap((kind) => {
    const classes = classesOf(files.get(`${kind}-classes.csv`) ?? "");
    return rowsOf(files.get(`${listName(kind)}.csv`) ?? "").map((row) => {
      const body: CsvFields = { ...constantsOf(kind) };
      for (const { name, cell } of columnsOf(kind)) {
        const column = wireWord(name);
        const value = read(row[column] ?? "", cell, `${listName(kind)}.csv, ${column}`);
        if (value !== undefined) body[name] = value;
      }
      const field = kinds[kind].curve;
      if (field !== null) body[field] = curveOf(row, classes.get(row["id"] ?? "") ?? []);
      return readOne(kind, Number(row["id"]), body);
    });
  });
  refuseLooseEnds(entries);
  return entries;
}

function curveOf(row: Record<string, string>, classes: readonly number[][]): CsvFields | null {
  if ((row["quantity"] ?? "") === "") return null;
  return {
    quantity: row["quantity"],
    measuredAs: row["measuredAs"],
    inClass: row["inClass"],
    lowerUm: classes.map(([lower]) => lower),
    upperUm: classes.map(([, upper]) => upper),
    shares: classes.map(([, , share]) => share),
    belowShare: Number(row["belowShare"]),
    aboveShare: Number(row["aboveShare"]),
  };
}

function classesOf(text: string): Map<string, number[][]> {
  const classes = new Map<string, number[][]>();
  for (const [id = "", ...numbers] of Papa.parse<string[]>(text, csvRules).data.slice(1)) {
    const ofEntry = classes.get(id) ?? [];
    ofEntry.push(numbers.map(Number));
    classes.set(id, ofEntry);
  }
  return classes;
}

function rowsOf(text: string): Record<string, string>[] {
  const [heading = [], ...rows] = Papa.parse<string[]>(text, csvRules).data;
  return rows.map((row) => Object.fromEntries(heading.map((name, i) => [name, row[i] ?? ""])));
}

const csvRules = { delimiter: ",", newline: "\n", skipEmptyLines: true } as const;

const csv = (rows: readonly (readonly string[])[]): string =>
  `${Papa.unparse(
    rows.map((row) => [...row]),
    { newline: "\n" },
  )}\n`;

function written(value: unknown, { holds, isOptional }: CsvCell): string {
  if (isOptional && value === undefined) return "";
  return holds === "json" ? JSON.stringify(value) : plain(value);
}

function plain(value: unknown): string {
  return value === null || value === undefined ? "" : String(value);
}

/** An empty cell is nothing, where its field may be that. */
function read(text: string, { holds, isOptional, isNullable }: CsvCell, place: string): unknown {
  if (text === "" && isOptional) return undefined;
  if (holds === "text") return text === "" && isNullable ? null : text;
  if (text === "") return null;
  try {
    return holds === "number" ? Number(text) : parsed(text);
  } catch {
    throw new UnusableInput(`${place}: "${text.slice(0, 40)}" is no JSON.`);
  }
}

function listOf(value: unknown): unknown[] {
  return Array.isArray(value) ? value : [];
}
