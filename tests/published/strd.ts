import { readFileSync } from "node:fs";
import type { FitProblem, LeastSquares } from "#model/fit/curveModel.ts";
import { leastSquares } from "#model/fit/leastSquares.ts";
import { type Dual, parameter } from "./dual.ts";
import { strdModels } from "./strdModels.ts";

/** One problem of the NIST Statistical Reference Datasets, as its file states it. */
export interface StrdProblem {
  readonly name: string;
  readonly starts: readonly (readonly number[])[];
  readonly certified: readonly number[];
  readonly certifiedErrors: readonly number[];
  readonly rows: readonly (readonly number[])[];
}

/** Reads one of NIST's own files: the b lines hold start 1, start 2, value, standard deviation; data rows are y, then x. */
export function readStrd(path: string): StrdProblem {
  const text = readFileSync(path, "latin1");
  const lines = text.split(/\r?\n/);
  const numbers = (line: string) => line.trim().split(/\s+/).map(Number);
  const parameters = lines
    .filter((line) => /^\s*b\d+\s*=/.test(line))
    .map((line) => numbers(line.replace(/^.*=/, "")));
  const from = lines.findLastIndex((line) => /^Data:/.test(line));
  const rows = lines
    .slice(from + 1)
    .filter((line) => line.trim() !== "")
    .map(numbers);
  const column = (i: number) => parameters.map((p) => p[i] ?? Number.NaN);
  return {
    name: /Dataset Name:\s*(\w+)/.exec(text)?.[1] ?? "",
    starts: [column(0), column(1)],
    certified: column(2),
    certifiedErrors: column(3),
    rows,
  };
}

/** Fits the problem from one of its starts. */
export function fitStrd(
  problem: StrdProblem,
  start: readonly number[],
  solve: typeof leastSquares = leastSquares,
): LeastSquares {
  const model = strdModels[problem.name];
  if (model === undefined) throw new RangeError(`no model for ${problem.name}`);
  const count = start.length;
  // Values and slopes come out together, so the last parameters' rows are kept.
  let kept: { readonly key: string; readonly rows: readonly Dual[] } | null = null;
  const rowsAt = (p: readonly number[]) => {
    const key = p.join();
    if (kept?.key !== key) {
      const b = p.map((v, k) => parameter(v, k, count));
      kept = { key, rows: problem.rows.map((row) => model(b, row.slice(1))) };
    }
    return kept.rows;
  };
  const isLog = problem.name === "Nelson";
  const fit: FitProblem = {
    model: {
      value: (p) => {
        const rows = rowsAt(p);
        return (i) => rows[i]?.value ?? Number.NaN;
      },
      slopes: (p) => {
        const rows = rowsAt(p);
        return (i) => rows[i]?.by ?? [];
      },
    },
    xs: problem.rows.map((_, i) => i),
    ys: problem.rows.map(([y = Number.NaN]) => (isLog ? Math.log(y) : y)),
    bounds: { lowest: start.map(() => -1e12), highest: start.map(() => 1e12) },
  };
  return solve(fit, start);
}

/** Digits in which the worst value agrees with the certified one: −log10 of the relative difference, 11 at most. */
export function digitsOf(values: readonly number[], certified: readonly number[]): number {
  return Math.min(
    ...certified.map((c, i) => {
      const v = values[i] ?? Number.NaN;
      if (!Number.isFinite(v)) return 0;
      const apart = c === 0 ? Math.abs(v) : Math.abs(v / c - 1);
      return Math.max(0, Math.min(11, -Math.log10(apart)));
    }),
  );
}
