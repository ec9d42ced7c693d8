import type { FiledTable } from "#api/store/entries/intake.ts";
import type { LabTableToKeep } from "#api/store/entries/labTables.ts";
import type { ChangeContext } from "#api/store/ledger/ledger.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { decode } from "#distributions/tables/text/decode.ts";
import { isWorkbook, workbookText } from "#distributions/tables/workbook/workbook.ts";
import { newLotKey, newLots } from "#model/intake/intake.ts";
import { codeKey } from "#model/intake/knownLots.ts";
import type { LabColumn } from "#model/intake/labColumns.ts";
import type { LabRow, LabTableSaid } from "#model/intake/labRow.ts";
import { readLabTable } from "#model/intake/labTable.ts";
import { rowWords } from "#model/intake/rowWords.ts";
import { counted } from "#model/words/wording.ts";
import type { Store } from "../store/store.ts";
import { type FileRead, filedTable, isFiled, runsToPlace } from "./filing.ts";

/** A table of the lab's own as received, what was said of it, and the curve files beside it. */
export interface LabTableReceived {
  readonly file: string | null;
  readonly bytes: Uint8Array;
  readonly said: LabTableSaid;
  /** Of a material that is new. */
  readonly densityGPerCm3: number | undefined;
  readonly beside: readonly FileRead[];
}

/** What became of a row, or would. */
export interface RowReport {
  readonly row: number;
  readonly lot: string | null;
  readonly lotId: number | null;
  readonly material: string | null;
  readonly became: string;
  readonly isKept: boolean;
}

export interface LabTableAnswer {
  readonly columns: readonly Pick<LabColumn, "heading" | "as" | "name" | "unit" | "stage">[];
  readonly rows: readonly RowReport[];
  readonly problems: readonly Problem[];
  /** Rows that can be kept, or were. */
  readonly kept: number;
  readonly lots: number;
  /** The change that one undo takes back; null where nothing was saved. */
  readonly seq: number | null;
}

/**
 * Reads a table of the lab's own and says what each row becomes; saves all of it as one change where an occasion is given.
 * Rows with a cell that cannot stand, or whose lot is open, are left out and named.
 */
export async function takeLabTable(
  store: Store,
  received: LabTableReceived,
  occasion: ChangeContext | null,
): Promise<LabTableAnswer> {
  const { file, bytes, said, densityGPerCm3, beside } = received;
  const text = isWorkbook(bytes) ? await workbookText(bytes) : decode(bytes, undefined).text;
  if (typeof text !== "string")
    return { columns: [], rows: [], problems: [{ ...text, file }], kept: 0, lots: 0, seq: null };
  const read = readLabTable(text, await store.knownLab(), said);
  const whole = read.rows.filter(({ faults, place }) => faults.length === 0 && place.question === null);
  const lots = newLots(whole.map(({ place }) => place));
  const at = new Map(lots.map((lot, i) => [newLotKey(lot), i]));
  const lotOf = ({ place: { lotId, lot, material } }: LabRow) =>
    lotId === null
      ? { newLot: at.get(newLotKey({ name: lot ?? "", material: material ?? "" })) ?? -1 }
      : { id: lotId };
  const curves = await curvesBeside(store, { beside, rows: whole, lotOf, said });
  const problems = [...read.problems, ...read.rows.flatMap(({ faults }) => faults), ...curves.problems];
  const toKeep: LabTableToKeep = {
    lots: lots.map((lot) => ({ ...lot, bandId: null, note: "", densityGPerCm3 })),
    rows: whole.map((row) => ({
      lot: lotOf(row),
      dateMade: row.dateMade,
      stages: row.stages,
      results: row.results,
    })),
    tables: curves.tables,
  };
  const isSaved = occasion !== null && whole.length > 0;
  const written = isSaved ? await store.keepLabTable(toKeep, occasion) : null;
  return {
    columns: read.columns.map(({ heading, as, name, unit, stage }) => ({ heading, as, name, unit, stage })),
    rows: read.rows.map((row) => ({
      row: row.row,
      lot: row.place.lot,
      lotId: row.place.lotId,
      material: row.place.material,
      became: rowWords(row, curves.of.get(row.row) ?? []),
      isKept: whole.includes(row),
    })),
    problems: problems.map((one) => ({ ...one, file: one.file ?? file })),
    kept: whole.length,
    lots: new Set(whole.map((row) => JSON.stringify(lotOf(row)))).size,
    seq: written?.seq ?? null,
  };
}

const withoutEnding = (name: string) => codeKey(name.replace(/^.*[\\/]/, "").replace(/\.[a-z]{2,5}$/i, ""));

/** The curve files beside a table: whose each is, by the row that names it, else by its own names. */
async function curvesBeside(
  store: Store,
  given: {
    readonly beside: readonly FileRead[];
    readonly rows: readonly LabRow[];
    readonly lotOf: (row: LabRow) => LabTableToKeep["rows"][number]["lot"];
    readonly said: LabTableSaid;
  },
) {
  const of = new Map<number, readonly string[]>();
  const tables: FiledTable[] = [];
  const problems: Problem[] = [];
  for (const read of given.beside) {
    const name = read.file ?? "";
    const places = await store.places(runsToPlace(read));
    const isLotOf = (row: LabRow) =>
      places.some(({ lot }) => lot !== null && codeKey(lot) === codeKey(row.place.lot ?? ""));
    const row =
      given.rows.find(({ file }) => file !== null && withoutEnding(file) === withoutEnding(name)) ??
      given.rows.find(isLotOf);
    const isDouble = places.some(({ double }) => double !== null);
    const open = read.problems.find(({ severity }) => severity !== "note");
    const onlyStage = row?.stages.length === 1 ? row.stages[0]?.stage : null;
    const runs = read.measurements.flatMap((run, i) => {
      const stage = places[i]?.stage ?? given.said.stage ?? onlyStage ?? null;
      const portion = places[i]?.portion ?? null;
      return row === undefined || stage === null
        ? []
        : [{ name: run.name, lot: given.lotOf(row), stage, portion }];
    });
    const why =
      open?.message ??
      (row === undefined
        ? "No row of the table names this file or its lot."
        : isDouble
          ? "Its curves are saved already."
          : runs.length < read.measurements.length
            ? "Its names do not say the stage; say it for the whole table."
            : null);
    const filed = why === null && row !== undefined ? filedTable(read, runs) : null;
    if (filed !== null && isFiled(filed) && row !== undefined) {
      tables.push(filed);
      of.set(row.row, [...(of.get(row.row) ?? []), `${counted(runs.length, "run")} of ${name}`]);
    } else
      problems.push(
        problem(isDouble ? "note" : "question", `${name} is left out. ${why ?? "It cannot be read."}`, {
          file: name,
        }),
      );
  }
  return { tables, problems, of };
}
