import { curveOf, knownUndersizeAt, meanCurve, sizeAt } from "#distributions/curve.ts";
import { geometricSurface } from "#distributions/moments.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import { limitWords } from "#model/band/limits.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { settingOfStep } from "#model/lot/stages.ts";
import type { Limits } from "#model/numbers/jointChance.ts";
import { plainDecimal } from "#model/pictures/scale.ts";
import { betResult, isM2PerG } from "#model/surface/bet.ts";
import type { HistoryColumn, LotHistory } from "./historyAnswer.ts";

/** What is kept of one lot. */
export interface LotRecord {
  /** Under which it is kept, where it is. */
  readonly id?: number;
  readonly name: string;
  readonly densityGPerCm3: number;
  /** Of the stage asked for. */
  readonly runs: readonly NamedMeasurement[];
  readonly settings: readonly {
    readonly stage: string;
    readonly name: string;
    readonly value: string;
    readonly unit: string;
  }[];
  readonly results: readonly {
    readonly stage: string | null;
    readonly name: string;
    readonly value: number;
    readonly unit: string;
  }[];
}

/** Lots in the order they were made, with which columns are sizes, which were set and which the lab found beside. */
export interface SavedHistory extends LotHistory {
  readonly sizes: readonly string[];
  readonly settings: readonly string[];
  readonly results: readonly string[];
  /** What other results are held against: area and fines. */
  readonly grounds: readonly string[];
  /** Of the lots, in the same order; empty where they are not kept. */
  readonly ids: readonly number[];
  /** Where a column of settings or other results is kept, so that it can be edited. */
  readonly fields: readonly ColumnField[];
}

/** Under which stage and name a column's values are kept; a result may be of the whole lot. */
export interface ColumnField {
  readonly column: string;
  readonly stage: string | null;
  readonly name: string;
  readonly unit: string;
}

/**
 * Kept lots as a history of one stage: sizes of the mean curve by volume, what was set, and what else was found.
 * A setting that is a word, such as the name of a dopant, is no number to regress on and is left out.
 */
export function lotHistory(
  lots: readonly LotRecord[],
  { stage, belowUm }: { readonly stage: string; readonly belowUm: number },
): SavedHistory {
  const measuredLots = lots.filter((lot) => lot.runs.length > 0 && byVolume(lot.runs).runs !== null);
  const found = measuredLots.map((lot) => sizesOf(lot, stage, belowUm));
  const fines = finesName(belowUm);
  const columns: HistoryColumn[] = [
    ...(["D10", "D50", "D90"] as const).map((name) => ({
      name,
      unit: "µm",
      values: found.map((f) => f[name]),
    })),
    { name: fines, unit: "%", values: found.map((f) => f.fines) },
    { name: "geometric area", unit: "m²/g", values: found.map((f) => f.area) },
    { name: "BET ratio", unit: "", values: found.map((f) => f.betRatio) },
  ];
  const sizes = columns.map((c) => c.name);
  const settings = named(
    measuredLots,
    (lot) => lot.settings.map((s) => ({ ...s, value: numberOf(s.value) })),
    (s) => settingName(s),
  );
  const results = named(
    measuredLots,
    (lot) => lot.results.filter((r) => r.stage === null || r.stage === stage),
    (r) => resultName(r),
  );
  return {
    lots: measuredLots.map((lot) => lot.name),
    columns: [...columns, ...settings, ...results],
    sizes,
    settings: settings.map((c) => c.name),
    results: results.map((c) => c.name),
    grounds: ["geometric area", fines],
    ids: measuredLots.flatMap((lot) => lot.id ?? []),
    fields: [
      ...fieldsOf(settings, measuredLots, (lot) => lot.settings, settingName),
      ...fieldsOf(results, measuredLots, (lot) => lot.results, resultName),
    ],
  };
}

const settingName = (s: Field) => settingOfStep(s.name, s.stage);
const resultName = (r: Field) => r.name;

type Field = Pick<ColumnField, "stage" | "name" | "unit">;

/** Each column with the stage, name and unit under which the first lot that has it keeps it. */
function fieldsOf(
  columns: readonly HistoryColumn[],
  lots: readonly LotRecord[],
  notedOf: (lot: LotRecord) => readonly Field[],
  nameOf: (noted: Field) => string,
): ColumnField[] {
  return columns.flatMap(({ name: column, unit }) => {
    const noted = lots
      .flatMap(notedOf)
      .find(
        (field) =>
          field.unit === unit && [nameOf(field).trim(), inUnit(nameOf(field), field.unit)].includes(column),
      );
    return noted === undefined ? [] : [{ column, stage: noted.stage, name: noted.name, unit: noted.unit }];
  });
}

const inUnit = (name: string, unit: string) => `${name.trim()} in ${unit || "no unit"}`;

function finesName(belowUm: number): string {
  return `fines below ${plainDecimal(belowUm)} µm`;
}

/** What a band asks of the columns of a history, by their names. */
export function targetsOf({ rows }: Pick<Band, "rows">): Readonly<Record<string, Limits>> {
  return Object.fromEntries(
    rows.flatMap(({ limit, sizeUm, low, high }): [string, Limits][] => {
      if (["d10Um", "d50Um", "d90Um"].includes(limit)) return [[limitWords({ limit }).name, { low, high }]];
      if (limit === "surfaceM2PerG") return [["geometric area", { low, high }]];
      if (limit !== "belowShare" || sizeUm === undefined) return [];
      const percent = (share: number | null) => (share === null ? null : 100 * share);
      return [[finesName(sizeUm), { low: percent(low), high: percent(high) }]];
    }),
  );
}

function sizesOf({ runs, densityGPerCm3, results }: LotRecord, stage: string, belowUm: number) {
  const volume = byVolume(runs).runs ?? [];
  const curve = meanCurve(volume.map((m) => curveOf(m.distribution)));
  const areas = volume.map((m) => geometricSurface(m.distribution, densityGPerCm3)?.m2PerG ?? null);
  const known = areas.filter((a) => a !== null);
  const area =
    known.length === areas.length && known.length > 0
      ? known.reduce((sum, a) => sum + a, 0) / known.length
      : null;
  const bet = results.filter((r) => r.name === betResult && isM2PerG(r.unit) && r.stage === stage).at(-1);
  const below = knownUndersizeAt(curve, belowUm);
  return {
    D10: sizeAt(curve, 0.1),
    D50: sizeAt(curve, 0.5),
    D90: sizeAt(curve, 0.9),
    fines: below === null ? null : 100 * below,
    area,
    betRatio: bet === undefined || area === null ? null : bet.value / area,
  };
}

interface NotedResult {
  readonly value: number | null;
  readonly unit: string;
}

/** One column a name and unit that any lot notes as a number; the unit stands in the name where a name has two. */
function named<N extends NotedResult>(
  lots: readonly LotRecord[],
  notedOf: (lot: LotRecord) => readonly N[],
  nameOf: (noted: N) => string,
): HistoryColumn[] {
  const columns = new Map<string, HistoryColumn & { values: (number | null)[] }>();
  const units = new Map<string, string>();
  for (const [i, lot] of lots.entries())
    for (const noted of notedOf(lot)) {
      if (noted.value === null) continue;
      const plain = nameOf(noted).trim();
      const first = units.get(plain) ?? noted.unit;
      units.set(plain, first);
      const name = first === noted.unit ? plain : inUnit(plain, noted.unit);
      const column = columns.get(name) ?? { name, unit: noted.unit, values: lots.map(() => null) };
      column.values[i] = noted.value;
      columns.set(name, column);
    }
  return [...columns.values()];
}

/** A setting's value as a number, with a decimal comma or point; null where it is a word. */
function numberOf(text: string): number | null {
  const trimmed = text.trim().replace(/−/g, "-").replace(",", ".");
  return /^[-+]?\d+(\.\d+)?$/.test(trimmed) ? Number(trimmed) : null;
}
