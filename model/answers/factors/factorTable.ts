import { mean } from "simple-statistics";
import { type Problem, problem } from "#distributions/problem.ts";
import { type LotColumn, minLotsForEffects } from "#model/factors/effects.ts";
import { columnWords } from "#model/words/columnWords.ts";
import { counted, listed } from "#model/words/wording.ts";
import type { HistoryColumn, LotHistory } from "./historyAnswer.ts";

/** A result as it is looked at: on ln where all its values are above zero, since sizes and areas scatter in proportion. */
export interface ScaledResult {
  readonly name: string;
  readonly unit: string;
  readonly isOnLn: boolean;
  /** As looked at, lot by lot. */
  readonly values: readonly (number | null)[];
  /** From a step as looked at to one in the result's unit, at the geometric mean; 1 where it is not on ln. */
  readonly perStep: number;
}

/** @returns the mean as looked at, which is the geometric one on ln */
export function scaledResult({ name, unit, values }: HistoryColumn): ScaledResult {
  const known = values.filter((v) => v !== null);
  const words = columnWords(name, unit);
  const isOnLn = known.length > 0 && known.every((v) => v > 0);
  const scaled = isOnLn ? values.map((v) => (v === null ? null : Math.log(v))) : values;
  const perStep = isOnLn ? Math.exp(mean(known.map(Math.log))) : 1;
  return { name, unit: words.unit ?? "", isOnLn, values: scaled, perStep };
}

/** The columns asked for, those that are not there named. */
export function columnsAsked(history: LotHistory, names: readonly string[]) {
  const known = history.columns.map(({ name }) => name);
  const columns = names.flatMap((name) => history.columns.find((column) => column.name === name) ?? []);
  const problems = names
    .filter((name) => !known.includes(name))
    .map((name) =>
      problem("refused", `There is no column ${name}. The columns are ${listed(known)}.`, {
        found: name,
        expected: known.join(", "),
      }),
    );
  return { columns, problems };
}

/** Places of the lots that have all of these columns. */
export function wholeLots(columns: readonly { readonly values: readonly (number | null)[] }[]): number[] {
  const [first] = columns;
  return (first?.values ?? []).flatMap((_, i) =>
    columns.every(({ values }) => (values[i] ?? null) !== null) ? [i] : [],
  );
}

/**
 * The factors that can be looked at together: a lot counts only where all of them are known, so the factor that
 * most lots lack is left out, and named, until enough lots remain.
 */
export function factorsTogether(
  factors: readonly LotColumn[],
  results: readonly { readonly values: readonly (number | null)[] }[],
): { readonly factors: readonly LotColumn[]; readonly problems: readonly Problem[] } {
  const measured = Math.max(0, ...results.map(({ values }) => values.filter((v) => v !== null).length));
  const enough = Math.max(minLotsForEffects, Math.ceil(measured / 2));
  const knownIn = ({ values }: LotColumn) => values.filter((v) => v !== null).length;
  if (factors.length < 2 || wholeLots(factors).length >= enough) return { factors, problems: [] };
  const sparsest = factors.toSorted((a, b) => knownIn(a) - knownIn(b))[0];
  if (sparsest === undefined || knownIn(sparsest) >= measured) return { factors, problems: [] };
  const rest = factorsTogether(
    factors.filter((factor) => factor !== sparsest),
    results,
  );
  const left = problem(
    "note",
    `${columnWords(sparsest.name).name} is known of ${counted(knownIn(sparsest), "lot")} only and is left out: a lot counts where all settings are known.`,
  );
  return { factors: rest.factors, problems: [left, ...rest.problems] };
}
