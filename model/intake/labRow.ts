import { type Problem, problem } from "#distributions/problem.ts";
import { type DecimalMark, numberIn } from "#distributions/tables/text/numbers.ts";
import { beforeUnit, figuresIn } from "#distributions/tables/text/twofoldNumber.ts";
import type { Stage } from "#model/lot/stages.ts";
import { dayIn } from "./dayIn.ts";
import { type KnownLab, placeOf, type RunPlace } from "./intake.ts";
import { codeKey } from "./knownLots.ts";
import { type ColumnSaid, factorFor, type LabColumn } from "./labColumns.ts";

/** What a row notes of one stage. */
export interface NotedStage {
  readonly stage: Stage;
  readonly settings: readonly { readonly name: string; readonly value: string; readonly unit: string }[];
  readonly note: string;
  readonly date: string | null;
  readonly massInG: number | null;
  readonly massOutG: number | null;
}

/** A result that a row holds; the stage is null where it is of the whole lot. */
export interface NotedResult {
  readonly stage: Stage | null;
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly uncertainty: number | null;
  readonly date: string | null;
}

/** What a row becomes: whose it is, and what it notes. */
export interface LabRow {
  /** Counted from 1 in the table as received. */
  readonly row: number;
  readonly place: RunPlace;
  readonly dateMade: string | null;
  /** The curve file that the row names. */
  readonly file: string | null;
  readonly stages: readonly NotedStage[];
  readonly results: readonly NotedResult[];
  /** Cells that cannot stand. The row is not kept while there are any. */
  readonly faults: readonly Problem[];
}

/** What a person says of a table, over what its headings say. */
export interface LabTableSaid {
  /** Where neither heading nor row names one. */
  readonly stage?: Stage | undefined;
  readonly material?: string | undefined;
  readonly columns?: Readonly<Record<string, ColumnSaid>> | undefined;
}

interface Reading {
  readonly lab: KnownLab;
  readonly said: LabTableSaid;
  readonly mark: DecimalMark;
}

interface RowGiven {
  readonly cells: readonly string[];
  readonly row: number;
  readonly lot: string;
}

/** What a cell comes to: part of a stage or a result, a day, or what was expected in its place. */
type Taken =
  | { readonly is: "fault"; readonly column: number; readonly expected: string }
  | { readonly is: "day"; readonly of: "lot" | "row"; readonly day: string }
  | { readonly is: "setting"; readonly stage: Stage; readonly setting: NotedStage["settings"][number] }
  | {
      readonly is: "stage";
      readonly stage: Stage;
      readonly noted: Partial<Omit<NotedStage, "stage" | "settings">>;
    }
  | { readonly is: "result"; readonly result: NotedResult }
  | {
      readonly is: "uncertainty";
      readonly stage: Stage | null;
      readonly of: LabColumn;
      readonly value: number;
    };

const stageWanted = "a value of a known stage";

interface CellGiven {
  readonly text: string;
  readonly at: number;
  /** As the row says. */
  readonly rowStage: Stage | null;
  /** As was said of the whole table. */
  readonly tableStage: Stage | null;
  readonly mark: DecimalMark;
}

function cellTaken(column: LabColumn, { text, at, rowStage, tableStage, mark }: CellGiven): Taken | null {
  const fault = (expected: string): Taken => ({ is: "fault", column: at, expected });
  const stage = column.isStageNamed ? column.stage : (rowStage ?? column.stage ?? tableStage);
  const { as, name, unit } = column;
  if (as === "date" || as === "date made") {
    const day = dayIn(text);
    if (day === null) return fault("a day with one meaning, as 2026-11-30");
    if (as === "date" && column.isStageNamed && stage !== null)
      return { is: "stage", stage, noted: { date: day } };
    return { is: "day", of: as === "date" ? "row" : "lot", day };
  }
  const read = cellNumber(text, column, mark);
  const value = read?.value ?? null;
  const ownUnit = read?.unit ?? unit;
  if (as === "result") {
    if (value === null || (ownUnit !== unit && unit !== ""))
      return fault(unit === "" ? "a number" : `a number in ${unit}`);
    return { is: "result", result: { stage, name, value, unit: ownUnit, uncertainty: null, date: null } };
  }
  if (as === "uncertainty")
    return value === null || value < 0 || ownUnit !== unit
      ? fault("an uncertainty of at least 0, in the unit of its result")
      : { is: "uncertainty", of: column, stage, value };
  if (as !== "setting" && as !== "note" && as !== "mass in" && as !== "mass out") return null;
  if (stage === null) return fault(stageWanted);
  if (as === "note") return { is: "stage", stage, noted: { note: text } };
  if (as === "setting") {
    const shown = column.isWord || value === null ? text : String(value);
    return { is: "setting", stage, setting: { name, value: shown, unit: column.isWord ? unit : ownUnit } };
  }
  if (value === null || value <= 0 || ownUnit !== unit) return fault("a mass above 0, in g");
  return { is: "stage", stage, noted: as === "mass in" ? { massInG: value } : { massOutG: value } };
}

/** What the cells of a row come to. */
export function rowRead(
  given: RowGiven,
  columns: readonly LabColumn[],
  { lab, said, mark }: Reading,
): LabRow {
  const textOf = (column: number) => (given.cells[column] ?? "").trim();
  const first = (as: LabColumn["as"]) => {
    const at = columns.findIndex((column) => column.as === as && !column.isStageNamed);
    return at < 0 ? "" : textOf(at);
  };
  const rowStage = stageSaid(first("stage"), lab);
  const tableStage = said.stage ?? null;
  const lot = lotMeant(given.lot, lab);
  const place = placeOf(
    { material: null, lotCode: lot, stage: null, portion: null, run: null },
    { lot, material: first("material") || said.material || null, stage: rowStage ?? "of the row" },
    lab,
  );
  const taken = columns.flatMap((column, at): readonly Taken[] => {
    const text = textOf(at);
    const one = text === "" ? null : cellTaken(column, { text, at, rowStage, tableStage, mark });
    return one === null ? [] : [one];
  });
  const faults = taken.flatMap((one) => {
    if (one.is !== "fault") return [];
    const { column, expected } = one;
    const found = textOf(column);
    return [
      problem(
        "refused",
        expected === stageWanted
          ? `${columns[column]?.heading}: the stage of "${found}" is not known. Name it in the heading, in a column Stage, or for the whole table; the row is left out till then.`
          : `${columns[column]?.heading}: "${found}" is not ${expected}. The row is left out; correct it and bring the table in again.`,
        { row: given.row, column: column + 1, found, expected },
      ),
    ];
  });
  const dayOf = (of: "lot" | "row") =>
    taken.flatMap((t) => (t.is === "day" && t.of === of ? [t.day] : []))[0] ?? null;
  const day = dayOf("row");
  const isMadeTold = columns.some(({ as }) => as === "date made");
  const isDayOfLot = !isMadeTold && rowStage === null;
  return {
    row: given.row,
    place,
    dateMade: dayOf("lot") ?? (isDayOfLot ? day : null),
    file: first("file") || null,
    stages: stagesNoted(taken, { rowStage, day }),
    results: resultsNoted(taken, day),
    faults,
  };
}

function stagesNoted(
  taken: readonly Taken[],
  { rowStage, day }: { readonly rowStage: Stage | null; readonly day: string | null },
): readonly NotedStage[] {
  const noted = new Map<Stage, NotedStage>();
  for (const one of taken) {
    if (one.is !== "setting" && one.is !== "stage") continue;
    const { stage } = one;
    const date = stage === rowStage ? day : null;
    const before = noted.get(stage) ?? { stage, settings: [], note: "", date, massInG: null, massOutG: null };
    noted.set(
      stage,
      one.is === "stage"
        ? { ...before, ...one.noted }
        : { ...before, settings: [...before.settings, one.setting] },
    );
  }
  return [...noted.values()];
}

function resultsNoted(taken: readonly Taken[], date: string | null): readonly NotedResult[] {
  const uncertainties = taken.flatMap((one) => (one.is === "uncertainty" ? [one] : []));
  return taken.flatMap((one) => {
    if (one.is !== "result") return [];
    const { name, unit, stage } = one.result;
    const own = uncertainties.find(
      ({ of, ...u }) => of.name === name && of.unit === unit && u.stage === stage,
    );
    return [{ ...one.result, uncertainty: own?.value ?? null, date }];
  });
}

/** A lot as its whole name or its code: "lot 31" is 31 where no lot is called so. */
function lotMeant(cell: string, { lots }: KnownLab): string {
  if (lots.byKey.has(codeKey(cell))) return cell;
  return /^(?:lot|batch|charge|los|lote|lotto|nr|no)[\s.:#-]+(\S+)$/i.exec(cell)?.[1] ?? cell;
}

/** The stage that a cell names, as the lab and laboratories elsewhere call it. */
function stageSaid(text: string, { words }: KnownLab): Stage | null {
  return text === "" ? null : (words.stageWords.find(({ pattern }) => pattern.test(text))?.stage ?? text);
}

/** A number in the column's unit, or one with another unit of its own behind it. */
function cellNumber(
  text: string,
  column: LabColumn,
  mark: DecimalMark,
): { readonly value: number; readonly unit: string } | null {
  const plain = numberIn(text, mark);
  if (plain !== null) return { value: rounded(plain * column.factor), unit: column.unit };
  const { figures, unit: own } = beforeUnit(text);
  const number = figuresIn(figures, mark);
  if (number === null) return null;
  const factor = factorFor(column, own);
  return factor === null
    ? { value: number, unit: own }
    : { value: rounded(number * factor), unit: column.unit };
}

const rounded = (value: number) => Number(value.toPrecision(12));
