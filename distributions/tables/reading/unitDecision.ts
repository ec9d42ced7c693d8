import { type Problem, problem } from "#distributions/problem.ts";
import { verdictOf } from "#distributions/tables/evidence/evidence.ts";
import { contradiction, type Known, settled } from "#distributions/tables/evidence/seriesContext.ts";
import type { UnitWords } from "#distributions/tables/evidence/unitOfSizes.ts";
import type { Block } from "#distributions/tables/layout/block.ts";
import type { UnitOption } from "#distributions/tables/text/readingOptions.ts";
import type { OpenQuestion } from "#distributions/tables/values/questions.ts";

export const noUnit: Problem = problem(
  "note",
  "No unit is stated for the sizes: µm is taken. Say another unit if that is wrong.",
  {
    expected: "um, nm, mm, m or phi",
    effect: "nm would divide every size by 1,000",
  },
);

/** The unit by the answer given, or what the words come to; µm where nothing says; null where it must be asked. */
export function decidedUnit(
  option: UnitOption | undefined,
  { evidence, odd, other }: UnitWords,
): Known<UnitOption> | null {
  const verdict = verdictOf(evidence);
  const known = settled(option, verdict);
  if (known !== null && (known.source === "option" || (odd ?? other) === null)) return known;
  if (verdict.against.length > 0 || (odd ?? other) !== null) return null;
  return { value: "um", source: "assumed", evidence: "no word says it" };
}

/**
 * Two words for the unit, or one that is no unit that is known.
 * @param d50Um  the median of the first series if the sizes were in a unit
 */
export function unitQuestion(
  block: Block,
  { evidence, odd, other }: UnitWords,
  file: string | null,
  d50Um: (unit: UnitOption) => number | null,
): OpenQuestion {
  const values = ["um", "nm", "mm", "m"] as const;
  const why =
    other !== null
      ? `"${other}" stands over what was taken for the sizes, and is no size`
      : odd === null
        ? (contradiction(verdictOf(evidence)) ?? "Nothing says the unit of the sizes")
        : `"${odd}" stands where the unit of the sizes does, and is none that is known`;
  const place = block.sizes[0]?.[0];
  return {
    at: {
      file,
      measurement: block.series[0]?.heading ?? "",
      row: null,
      column: block.layout === "rows" ? null : (place?.column ?? null),
    },
    option: "unit",
    values,
    found: other ?? odd ?? block.sizeHeading,
    choices: () => values.map((value) => ({ option: "unit", value, d50Um: d50Um(value) })),
    ask: () =>
      other !== null
        ? `${why}. If they are sizes all the same, say their unit; else say which column or row holds the sizes, or leave the table out.`
        : `${why}. Say the unit; where the sizes are in another one, or are radii or logarithms, turn them into diameters in µm and bring the table in again.`,
  };
}
