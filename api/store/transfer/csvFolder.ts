import Papa from "papaparse";
import { UnusableInput } from "#api/faults.ts";
import { kindNames } from "#api/records/kinds.ts";
import type { EntryKind } from "#api/records/records.ts";
import { type Copied, listName, readOne, refuseLooseEnds } from "./copies.ts";

/** How a cell reads: a text, a text or nothing, a number or nothing, or JSON. An absent one is left out when empty. */
type ColumnType = "text" | "text?" | "number" | "json" | "absent?" | "absent json?" | "absent number?";

/** The columns of each kind's table, by the place of the value in the entry. */
const columns: { readonly [K in EntryKind]: Readonly<Record<string, ColumnType>> } = {
  band: {
    name: "text",
    stage: "text",
    densityGPerCm3: "number",
    rule: "text",
    rows: "json",
    envelope: "json",
    betM2PerG: "absent json?",
    source: "absent?",
    instrument: "absent?",
    referenceDrum: "absent?",
  },
  mill: { name: "text", mill: "json" },
  lot: {
    name: "text",
    material: "text",
    densityGPerCm3: "number",
    bandId: "number",
    note: "text",
    keptAt: "text",
  },
  import: {
    lotId: "number",
    file: "text?",
    text: "text",
    sha256: "text",
    base64: "absent?",
    options: "json",
    keptAt: "text",
  },
  measurement: {
    lotId: "number",
    importId: "number",
    stage: "text",
    name: "text",
    file: "text?",
    asideBecause: "text?",
    howMeasured: "absent json?",
  },
  stage: { lotId: "number", stage: "text", settings: "json", note: "text" },
  result: {
    lotId: "number",
    stage: "text?",
    name: "text",
    value: "number",
    unit: "text",
    uncertainty: "number",
    note: "text",
  },
  trial: { millId: "number", name: "text", trial: "json", asideBecause: "text?" },
  belief: { millId: "number", priors: "json", leftOutLots: "json" },
  pressureMill: { name: "text", ratedBar: "number", trials: "json", priors: "json" },
  balance: { name: "text", feed: "json", fines: "json", coarse: "json", fineYield: "number" },
  batch: {
    lotId: "number",
    stage: "text",
    afterMin: "number",
    d50AfterUm: "number",
    targetD50Um: "number",
    rateExponent: "number",
    fragmentExponent: "number",
  },
  pair: {
    stage: "text",
    geometricM2PerG: "number",
    betM2PerG: "number",
    instrument: "absent?",
    optics: "absent?",
    dopantClass: "absent?",
    measuredOn: "absent?",
    densityGPerCm3: "absent number?",
  },
  frozen: {
    lotId: "number",
    name: "text",
    note: "text",
    frozenAt: "text",
    modelVersion: "text",
    inputs: "json",
    result: "json",
    hash: "text",
    sheet: "absent json?",
  },
};

/** The field of an entry that holds a curve. Its classes stand in a table of their own, a row each. */
const curveField: Partial<Record<EntryKind, string>> = { measurement: "distribution", trial: "curve" };
const curveColumns = ["quantity", "measuredAs", "inClass", "belowShare", "aboveShare"] as const;
const classColumns = ["lowerUm", "upperUm", "shares"] as const;

type CsvFields = Record<string, unknown>;

const fieldsOf = (value: unknown): CsvFields =>
  typeof value === "object" && value !== null && !Array.isArray(value) ? { ...value } : {};

/** Everything that stands as CSV texts by file name. */
export function csvFiles(entries: readonly Copied[]): Map<string, string> {
  const files = new Map<string, string>();
  for (const kind of kindNames) {
    const rows: string[][] = [];
    const classes: string[][] = [];
    const field = curveField[kind];
    for (const entry of entries.filter((e) => e.kind === kind)) {
      const body = fieldsOf(JSON.parse(entry.body));
      const cells = Object.entries(columns[kind]).map(([name, cell]) => written(body[name], cell));
      const curve = field === undefined ? {} : fieldsOf(body[field]);
      const ofCurve = field === undefined ? [] : curveColumns.map((name) => plain(curve[name]));
      rows.push([String(entry.id), ...cells, ...ofCurve]);
      const [lower = [], upper = [], shares = []] = classColumns.map((name) => listOf(curve[name]));
      for (const [i, share] of shares.entries())
        classes.push([String(entry.id), plain(lower[i]), plain(upper[i]), plain(share)]);
    }
    const heading = ["id", ...Object.keys(columns[kind]), ...(field === undefined ? [] : curveColumns)];
    files.set(`${listName(kind)}.csv`, csv([heading, ...rows]));
    if (field !== undefined)
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
      const body: CsvFields = kind === "band" ? { version: 1 } : {};
      for (const [name, cell] of Object.entries(columns[kind])) {
        const value = read(row[name] ?? "", cell, `${listName(kind)}.csv, ${name}`);
        if (value !== undefined) body[name] = value;
      }
      const field = curveField[kind];
      if (field !== undefined) body[field] = curveOf(row, classes.get(row["id"] ?? "") ?? []);
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

function written(value: unknown, cell: ColumnType): string {
  if (cell === "absent json?" && value === undefined) return "";
  return cell === "json" || cell === "absent json?" ? JSON.stringify(value) : plain(value);
}

function plain(value: unknown): string {
  return value === null || value === undefined ? "" : String(value);
}

function read(text: string, cell: ColumnType, place: string): unknown {
  if (cell === "text") return text;
  if (text === "") return cell.startsWith("absent") ? undefined : null;
  if (cell === "text?" || cell === "absent?") return text;
  try {
    return cell === "number" || cell === "absent number?" ? Number(text) : JSON.parse(text);
  } catch {
    throw new UnusableInput(`${place}: "${text.slice(0, 40)}" is no JSON.`);
  }
}

function listOf(value: unknown): unknown[] {
  return Array.isArray(value) ? value : [];
}
