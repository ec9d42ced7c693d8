import type { Damaged, SavedMeasurement, SavedResult, SavedStageRecord } from "#api/records/records.ts";
import { version } from "#api/version.ts";
import { curveOf, undersizeAt } from "#distributions/curve.ts";
import { zip } from "#distributions/lists.ts";
import { describeEach } from "#model/answers/lot/describeAnswer.ts";
import type { WholeLot } from "./entries/lots.ts";
import type { Store } from "./store.ts";

/** A cell of a table: null where it is empty. */
type Cell = string | number | boolean | null;
type Row = Readonly<Record<string, Cell>>;

export interface SavedTables {
  /** Each table by its name; all rows of a table have the same columns. */
  readonly tables: ReadonlyMap<string, readonly Row[]>;
  readonly damaged: readonly Damaged[];
}

/** So many lots' curves fit a workbook and the server's memory. */
export const maxExported = 500;

/**
 * What is saved of some lots as tidy tables, one row an observation, one column a variable, units in the names: lots,
 * verdicts (as computed in the background), sizes of each run, curves class by class, other results, and the method.
 */
export async function savedTables(store: Store, ids: readonly number[]): Promise<SavedTables> {
  const { lots, damaged } = await store.wholeLots(ids);
  const cards = await Promise.all(lots.map(({ lot }) => store.card(lot.id)));
  const verdicts = await Promise.all(lots.map(({ lot }) => verdictRows(store, lot)));
  const tables = {
    lots: lots.map(({ lot }) => lotRow(lot)),
    verdicts: verdicts.flat(),
    sizes: lots.flatMap(({ lot, measurements }) => measurements.map((run) => sizeRow(lot, run))),
    curves: lots.flatMap(({ lot, measurements }) => measurements.flatMap((run) => curveRows(lot, run))),
    stages: zip(lots, cards).flatMap(([{ lot }, { stages }]) => stages.flatMap((one) => stageRows(lot, one))),
    portions: lots.flatMap(({ lot, measurements }) => measurements.flatMap((run) => portionRow(lot, run))),
    results: zip(lots, cards).flatMap(([{ lot }, { results }]) => results.map((one) => resultRow(lot, one))),
    method: methodRows(),
  };
  return {
    tables: new Map(Object.entries(tables)),
    damaged: [...damaged, ...lots.flatMap((one) => one.damaged), ...cards.flatMap((card) => card.damaged)],
  };
}

function lotRow(lot: WholeLot["lot"]): Row {
  const { name, id, material, densityGPerCm3, dateMade, state, exclusionReason, note } = lot;
  return {
    ...{ lot: name, id, material, densityGPerCm3, dateMade },
    ...{ state: state.name, asideBecause: exclusionReason, note },
  };
}

async function verdictRows(store: Store, { id, name }: WholeLot["lot"]): Promise<Row[]> {
  return (await store.summaries(id)).map((one) => ({
    ...{ lot: name, stage: one.stage, runs: one.runs, verdict: one.verdict },
    ...{ chance: one.chance?.value ?? null, d10Um: one.d10Um?.value ?? null },
    ...{
      d50Um: one.d50Um?.value ?? null,
      d50LowUm: one.d50Um?.low ?? null,
      d50HighUm: one.d50Um?.high ?? null,
    },
    ...{ d90Um: one.d90Um?.value ?? null, geometricM2PerG: one.areaM2PerG?.value ?? null, stale: one.stale },
  }));
}

/** Which run a row is of, and whether it counts. */
const ofRun = (lot: WholeLot["lot"], run: SavedMeasurement): Row => ({
  ...{ lot: lot.name, stage: run.stage, run: run.name, measurement: run.id },
  asideBecause: run.exclusionReason,
});

function sizeRow(lot: WholeLot["lot"], run: SavedMeasurement): Row {
  const { densityGPerCm3 } = lot;
  const [described] = describeEach([{ ...run, file: null }], { densityGPerCm3 });
  const answer = described?.answer ?? null;
  const size = (percent: string) => answer?.percentilesUm[percent] ?? null;
  return {
    ...ofRun(lot, run),
    ...{ quantity: run.distribution.quantity, d10Um: size("10"), d50Um: size("50"), d90Um: size("90") },
    ...{ span: answer?.span ?? null, deBrouckereUm: answer?.meansUm["4,3"] ?? null },
    ...{ sauterUm: answer?.meansUm["3,2"] ?? null, geometricM2PerG: answer?.surfaceM2PerG ?? null },
    areaIsLowerBound: answer?.surfaceIsLowerBound ?? null,
  };
}

function curveRows(lot: WholeLot["lot"], run: SavedMeasurement): Row[] {
  const { lowerUm, upperUm, shares } = run.distribution;
  const curve = curveOf(run.distribution);
  return zip(lowerUm, upperUm).map(([lower, upper], i) => ({
    ...ofRun(lot, run),
    ...{ quantity: run.distribution.quantity, lowerUm: lower, upperUm: upper },
    ...{ share: shares[i] ?? null, undersizeShare: undersizeAt(curve, upper) },
  }));
}

/** How a stage was made: settings, what was weighed in, masses, note; a row each. */
function stageRows(lot: WholeLot["lot"], { stage, date, ...noted }: SavedStageRecord): Row[] {
  const row = (as: string, item: string, value: Cell, unit = ""): Row => ({
    ...{ lot: lot.name, stage, date: date ?? null },
    ...{ as, item, value, unit },
  });
  return [
    ...noted.settings.map(({ name, value, unit }) => row("setting", name, value, unit)),
    ...(noted.weighed ?? []).map(({ name, massG }) => row("weighed in", name, massG, "g")),
    ...(noted.massInG === undefined ? [] : [row("mass in", "", noted.massInG, "g")]),
    ...(noted.massOutG === undefined ? [] : [row("mass out", "", noted.massOutG, "g")]),
    ...(noted.note === "" ? [] : [row("note", "", noted.note)]),
  ];
}

/** How what a run measured was drawn from the lot and divided. */
function portionRow(lot: WholeLot["lot"], run: SavedMeasurement): Row[] {
  const { portion } = run;
  if (portion === undefined) return [];
  const { name, drawn, divided = null, increments = null, massG, day } = portion;
  return [
    {
      ...{ lot: lot.name, stage: run.stage, run: run.name, portion: name },
      ...{ drawn, divided, increments, massG, day },
    },
  ];
}

function resultRow(lot: WholeLot["lot"], one: SavedResult): Row {
  const { stage, name, value, unit, uncertainty, date = null, method = null, note } = one;
  return { lot: lot.name, stage, name, value, unit, standardUncertainty: uncertainty, date, method, note };
}

/** How the numbers came about, for the methods section of a paper, and how to cite. */
function methodRows(): Row[] {
  const said = {
    program: `Fineband ${version}`,
    citation: `Fineband, version ${version}: particle-size distribution and milling outcome modeller [computer program].`,
    curve:
      "Undersize Q runs straight in ln x between the class edges, in x where the uniform rule was chosen (ISO 9276-1).",
    percentiles: "Dp is the size x with Q(x) = p/100, in the quantity measured.",
    moments: "M_k = sum of v (b^k - a^k)/(k ln(b/a)) over classes from a to b with share v (ISO 9276-2).",
    means: "D[p,q] = (M_(p-r)/M_(q-r))^(1/(p-q)); r = 3 for volume (ISO 9276-2).",
    span: "(D90 - D10)/D50.",
    "geometric area":
      "6 M_(-1,3)/density: smooth spheres, no pores (ISO 9276-2); a lower bound where so marked.",
    verdict:
      "Each limit is held against the mean over the runs that count and its interval, by the rule of the band.",
    chance:
      "That the powder measured conforms, from its own runs and the scatter of runs pooled with other lots, as normal variation between runs predicts.",
    "method text": `Size distributions by volume were evaluated with Fineband ${version}: percentiles by interpolation of the undersize curve in ln x between class edges (ISO 9276-1), mean diameters and geometric area from moments (ISO 9276-2).`,
  };
  return Object.entries(said).map(([item, text]) => ({ item, text }));
}
