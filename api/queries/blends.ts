import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import { airClassificationAnswer, blendAnswer } from "#model/answers/compare/blendAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { type Given, numberOption, wordOption } from "./options.ts";
import type { Answered } from "./powder.ts";

/** The best mix of two or more tables' lots for a band. */
export function askBlend(tables: readonly (Answered & { readonly name: string })[], band: Band) {
  const problems = tables.flatMap((t) => t.problems);
  if (tables.some((t) => t.measurements.length === 0))
    return {
      shares: [],
      isIn: null,
      chance: null,
      rows: [],
      mix: null,
      noShare: [],
      sentence: "Nothing was mixed: a lot could not be read.",
      problems,
    };
  const answer = blendAnswer(
    tables.map(({ name, measurements }) => ({ name, runs: measurements })),
    band,
  );
  return { ...answer, problems: [...problems, ...answer.problems] };
}

/** A lot without its fines or its coarse end. */
export function askAirClassification(
  { measurements, problems }: Answered,
  band: Band | undefined,
  given: Given,
) {
  const cut = wordOption(given, "cut", ["fines", "coarse"] as const);
  const atUm = numberOption(given, "at");
  if (cut === undefined || atUm === undefined)
    throw new UnusableInput(
      "scalp needs what is cut off and where: --cut fines --at 1.2, in µm.",
      "no cut",
      "--cut fines|coarse --at UM",
    );
  const sharpness = numberOption(given, "sharpness", { above: 0, below: 1 });
  const answer = airClassificationAnswer(measurements, {
    cut,
    atUm,
    ...withoutUndefined({ sharpness, band }),
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}
