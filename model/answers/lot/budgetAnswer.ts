import { itemAt } from "#distributions/lists.ts";
import type { Band } from "#model/band/band.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { type Budget, budgetOf, type Measurand } from "#model/release/budget.ts";
import { knowsAll, type PortionRun, portionsOf, rowsKnown } from "#model/release/portions.ts";
import type { MeasurandCheck } from "#model/release/readChecks.ts";
import { type LotPortions, lotMean, type PooledScatter, pooledScatter } from "#model/release/scatter.ts";
import { figures, listed } from "#model/words/wording.ts";

/** What is entered, as relative standard uncertainties; null where it is not known. */
export interface BudgetOptions {
  readonly densityGPerCm3: number | null;
  readonly kept?: readonly (readonly PortionRun[])[];
  /** Of a portion about its lot. */
  readonly samplingCv?: number | null;
  readonly checks?: readonly MeasurandCheck[];
  readonly opticalCv?: number | null;
  readonly densityCv?: number | null;
}

export interface BudgetAnswer {
  readonly budgets: readonly Budget[];
  readonly sentence: string;
}

const measurands: readonly Measurand[] = ["d10Um", "d50Um", "d90Um", "areaM2PerG"];
const limitOf = (measurand: Measurand) => (measurand === "areaM2PerG" ? "surfaceM2PerG" : measurand);

/**
 * The uncertainty budgets of D10, D50, D90 and the geometric area of a lot, as geometric means over its runs.
 *
 * @returns null where nothing is known of any of them
 * Source: JCGM 100:2008; docs/science.md.
 */
export function budgetAnswer(
  measurements: readonly PortionRun[],
  options: BudgetOptions,
): BudgetAnswer | null {
  const own = byVolume(measurements).runs;
  if (own === null || own.length === 0) return null;
  const budgets = measurands.flatMap((measurand) => budgetFor(measurand, own, options) ?? []);
  return budgets.length === 0 ? null : { budgets, sentence: budgetSentence(budgets) };
}

function budgetFor(
  measurand: Measurand,
  own: readonly PortionRun[],
  {
    densityGPerCm3,
    kept = [],
    samplingCv = null,
    checks = [],
    opticalCv = null,
    densityCv = null,
  }: BudgetOptions,
): Budget | null {
  const band: Band = {
    version: 1,
    name: "",
    stage: "",
    densityGPerCm3,
    rule: "simple",
    rows: [{ limit: limitOf(measurand), low: null, high: null }],
    envelope: null,
  };
  const rows = rowsKnown(own, band);
  if (rows.length === 0) return null;
  const lot = portionsOf(own, rows, band);
  const others = kept
    .map((runs) => byVolume(runs).runs ?? [])
    .filter((runs) => runs.length > 0 && knowsAll(runs, rows, band))
    .map((runs) => portionsOf(runs, rows, band));
  const ground = pooledScatter([lot, ...others]);
  return budgetOf({
    measurand,
    value: Math.exp(itemAt(meanOf(lot), 0)),
    run: runOf(lot, ground),
    portion: portionOf(lot, ground, samplingCv),
    checks: checks.filter((check) => check.measurand === measurand),
    opticalModel: opticalCv,
    density: densityCv,
  });
}

/** Mean over the portions, each of its runs. */
function meanOf(lot: LotPortions): readonly number[] {
  const none: PooledScatter = { run: [[0]], runDegrees: 1, portion: null };
  return lotMean(lot, none).mean;
}

/** A single run's scatter, pooled over the ground; null below the degrees of three runs. */
function runOf(lot: LotPortions, ground: PooledScatter | null) {
  if (ground === null || ground.runDegrees < 2) return null;
  const sdLn = Math.sqrt(itemAt(itemAt(ground.run, 0), 0));
  // The mean of portion means errs as one of so many runs.
  const runs = lot.length ** 2 / lot.reduce((sum, portion) => sum + 1 / portion.length, 0);
  return { sdLn, degrees: ground.runDegrees, runs };
}

/** A portion's scatter about its lot, entered or left of portion means when their runs' scatter is taken off; null where not known. */
function portionOf(lot: LotPortions, ground: PooledScatter | null, samplingCv: number | null) {
  if (samplingCv !== null) return { sdLn: samplingCv, degrees: null, portions: lot.length };
  const portion = ground?.portion ?? null;
  if (ground === null || portion === null || portion.from === "entered") return null;
  const ofMean = itemAt(itemAt(portion.ofMean, 0), 0);
  const ofRun = itemAt(itemAt(ground.run, 0), 0) / portion.runs;
  return {
    sdLn: Math.sqrt(Math.max(0, ofMean - ofRun)),
    degrees: portion.degrees,
    portions: lot.length,
  };
}

export const measurandNames: Readonly<Record<Measurand, { readonly name: string; readonly unit: string }>> = {
  d10Um: { name: "D10", unit: "µm" },
  d50Um: { name: "D50", unit: "µm" },
  d90Um: { name: "D90", unit: "µm" },
  areaM2PerG: { name: "geometric area", unit: "m²/g" },
};

/** "D50 3.12 µm, 2.98–3.26 (U 4.50 %, k 2.20)" */
function budgetText(budget: Budget): string {
  const { name, unit } = measurandNames[budget.measurand];
  const range = `${figures(budget.low)}–${figures(budget.high)}`;
  return `${name} ${figures(budget.value)} ${unit} (${range}, U ${figures(100 * budget.expandedLn)} %)`;
}

function budgetSentence(budgets: readonly Budget[]): string {
  const unknown = [...new Set(budgets.flatMap((budget) => budget.notKnown))];
  const [first] = budgets;
  const sources = [...new Set(budgets.flatMap((b) => b.contributions.slice(0, 1).map((c) => c.source)))];
  const left = unknown.length === 0 ? "" : ` Not in it, since nothing is known of them: ${listed(unknown)}.`;
  const level = first === undefined ? 95 : Math.round(100 * first.level);
  return `Expanded uncertainty, ${level} %, from ${listed(known(budgets))}: ${budgets.map(budgetText).join("; ")}. The largest part: ${listed(sources)}.${left}`;
}

function known(budgets: readonly Budget[]): string[] {
  return [...new Set(budgets.flatMap((b) => b.contributions.map((c) => c.source)))].map(String);
}
