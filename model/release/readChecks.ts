import type { Problem } from "#distributions/problem.ts";
import { problem } from "#distributions/problem.ts";
import { readColumns, requiredIn } from "#distributions/tables/reading/readColumns.ts";
import type { InstrumentCheck, Measurand } from "./budget.ts";

/** A check of the instrument against a reference material, and of which result. */
export interface MeasurandCheck extends InstrumentCheck {
  readonly measurand: Measurand;
}

const measurandOf: Readonly<Record<string, Measurand>> = {
  d10: "d10Um",
  d50: "d50Um",
  d90: "d90Um",
  area: "areaM2PerG",
};

/** Reads CHECKS.csv: result (D10, D50, D90 or area), measured, stated, statedU; a row a check. */
export function readChecks(
  text: string,
  file: string | null,
): { checks: readonly MeasurandCheck[]; problems: readonly Problem[] } {
  const { rows, problems } = readColumns(text, file, {
    words: ["result"],
    required: ["measured", "stated", "statedU"],
    optional: [],
  });
  const read = rows.map((row) => {
    const word = (row.text["result"] ?? "").trim();
    const check = {
      measured: requiredIn(row, "measured"),
      stated: requiredIn(row, "stated"),
      statedU: requiredIn(row, "statedU"),
    };
    const measurand = measurandOf[word.toLowerCase()];
    const isUsable = check.measured > 0 && check.stated > 0 && check.statedU >= 0;
    return {
      row: row.row,
      word,
      check: isUsable && measurand !== undefined ? { measurand, ...check } : null,
    };
  });
  const faults = read
    .filter(({ check }) => check === null)
    .map(({ row, word }) =>
      problem(
        "refused",
        `A check does not count: it needs a result (D10, D50, D90 or area) and numbers above zero; found "${word}".`,
        { file, row, found: word, expected: "D10, D50, D90 or area, with measured, stated and statedU" },
      ),
    );
  return { checks: read.flatMap(({ check }) => check ?? []), problems: [...problems, ...faults] };
}
