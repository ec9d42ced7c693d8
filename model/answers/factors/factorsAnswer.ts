import type { Problem } from "#distributions/problem.ts";
import { effectsOf, type FactorEffect, type LotColumn } from "#model/factors/effects.ts";
import { regressionOn } from "#model/factors/regression.ts";
import { type SmallestEffect, smallestEffect } from "#model/factors/smallestEffect.ts";
import { columnWords } from "#model/words/columnWords.ts";
import { type DriftChart, driftChart } from "./driftAnswer.ts";
import type { FactorFinding } from "./factorFinding.ts";
import { columnsAsked, factorsTogether, type ScaledResult, scaledResult, wholeLots } from "./factorTable.ts";
import { effectWords, factorsSentence } from "./factorWords.ts";
import type { LotHistory } from "./historyAnswer.ts";

export interface FactorsAnswer {
  readonly effects: readonly FactorFinding[];
  readonly charts: readonly DriftChart[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

export interface FactorsQuestion {
  readonly of: readonly string[];
  readonly factors: readonly string[];
  /** Of the intervals; 0.95 when left out. */
  readonly level?: number;
  /** Whether drift is looked at too; true when left out. Its limits are simulated. */
  readonly drifts?: boolean;
}

/** Share of all that is looked at together which may be claimed falsely. */
const falseDiscoveryRate = 0.05;

/**
 * Which settings go with which results over all that is looked at together, by how much per unit with interval, which
 * cannot be told apart, what such lots would have shown, and whether each result drifts.
 *
 * Results above zero are looked at on ln; slopes are given in the result's unit at its geometric mean.
 *
 * @param of       columns that are results
 * @param factors  columns held against every result
 * Source: docs/science.md, "settings and results"; false claims and power by simulation, docs/validation.md.
 */
export function factorsAnswer(history: LotHistory, question: FactorsQuestion): FactorsAnswer {
  const { level = 0.95, drifts = true } = question;
  const asked = columnsAsked(history, question.of);
  const held = columnsAsked(history, question.factors);
  const results = asked.columns.map(scaledResult);
  const { factors, problems } = factorsTogether(held.columns, results);
  const found = effectsOf({ factors, results, falseDiscoveryRate, level });
  const looks = results.length * factors.length;
  const effects = found.flatMap((effect): FactorFinding[] => {
    const result = results.find(({ name }) => name === effect.result);
    const factor = factors.find(({ name }) => name === effect.factor);
    if (result === undefined || factor === undefined || effect.result === effect.factor) return [];
    const claimed = claimedIn(found.filter((e) => e.result === effect.result));
    const smallest = isOpen(effect)
      ? smallestOf({ result, factor, looks, claimed: factors.filter((f) => claimed.includes(f.name)) })
      : null;
    return [findingOf(effect, result, factor, smallest)];
  });
  const charts = drifts ? asked.columns.map((column) => driftChart(history.lots, column)) : [];
  return {
    effects,
    charts,
    sentence: factorsSentence(effects),
    problems: [...asked.problems, ...held.problems, ...problems],
  };
}

/** The factors that explain a result; of those not told apart, the one that explains it best. */
function claimedIn(effects: readonly FactorEffect[]): readonly string[] {
  const mixed = effects
    .filter(({ verdict, pValue }) => verdict === "not separated" && pValue !== null)
    .toSorted((a, b) => Number(a.pValue) - Number(b.pValue));
  return [...effects.filter(({ verdict }) => verdict === "goes with it"), ...mixed.slice(0, 1)].map(
    (e) => e.factor,
  );
}

const isOpen = ({ verdict }: FactorEffect) => verdict === "not shown" || verdict === "too few lots";

/** A finding in the units of its result and factor. */
function findingOf(
  effect: FactorEffect,
  { unit, perStep }: ScaledResult,
  factor: LotColumn,
  smallest: SmallestEffect | null,
): FactorFinding {
  const { result: of, slope, interval, ...rest } = effect;
  const factorWords = columnWords(factor.name, factor.unit);
  const per = `${unit} per ${factorWords.unit || `unit of ${factorWords.name}`}`.trim();
  const finding = {
    ...rest,
    of,
    per,
    slope: slope === null ? null : slope * perStep,
    interval:
      interval === null ? null : { ...interval, low: interval.low * perStep, high: interval.high * perStep },
    smallest: smallest === null ? null : { ...smallest, overRange: smallest.overRange * perStep },
  };
  return { ...finding, sentence: effectWords(finding, unit) };
}

/** What lots like these would have shown of a factor, beside the claimed ones. */
function smallestOf(asked: {
  readonly result: ScaledResult;
  readonly factor: LotColumn;
  readonly claimed: readonly LotColumn[];
  readonly looks: number;
}): SmallestEffect | null {
  const { result, factor, claimed, looks } = asked;
  const whole = wholeLots([result, factor, ...claimed]);
  const at = ({ values }: { readonly values: readonly (number | null)[] }) =>
    whole.flatMap((i) => values[i] ?? []);
  const varied = [factor, ...claimed.filter((c) => c !== factor)]
    .map(at)
    .filter((column) => column.some((v) => v !== column[0]));
  const fit = regressionOn(varied, at(result));
  return fit === null
    ? null
    : smallestEffect({ residualSd: fit.residualSd, settings: at(factor), looks, falseDiscoveryRate });
}
