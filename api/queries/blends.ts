import type { z } from "@hono/zod-openapi";
import { nothingOf } from "#api/contract/nothing.ts";
import { type Given, optionsOf } from "#api/contract/options.ts";
import * as shapes from "#api/contract/severalAnswers.ts";
import { verbs } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { Problem } from "#distributions/problem.ts";
import { airClassificationAnswer, blendAnswer } from "#model/answers/compare/blendAnswer.ts";
import type { Band } from "#model/band/band.ts";
import type { Answered } from "./powder.ts";

/** The best mix of two or more tables' lots for a band, or what the shares given make. @throws UnusableInput */
export function askBlend(
  tables: readonly (Answered & { readonly name: string })[],
  band: Band,
  given: Given,
): z.output<typeof shapes.blendAnswer> {
  const { shares } = optionsOf(given, verbs.blend);
  if (shares !== undefined && (shares.length !== tables.length || shares.every((v) => v === 0)))
    throw new UnusableInput(
      `A blend of ${tables.length} lots takes a share of each, one of them above 0: --shares 60,40.`,
      shares.join(","),
      `${tables.length} shares`,
    );
  const problems = tables.flatMap((t) => t.problems);
  if (tables.some((t) => t.measurements.length === 0)) return unmixed(problems, "a lot");
  const answer = blendAnswer(
    tables.map(({ name, measurements }) => ({ name, runs: measurements })),
    band,
    shares,
  );
  return { ...answer, problems: [...problems, ...answer.problems] };
}

/** A lot without its fines or its coarse end. */
export function askAirClassification(
  { measurements, problems }: Answered,
  band: Band | undefined,
  given: Given,
) {
  const { cut, atUm, sharpness } = optionsOf(given, verbs.scalp);
  if (cut === undefined || atUm === undefined)
    throw new UnusableInput(
      "scalp needs the end to remove and the cut size in µm: --cut fines --at 1.2.",
      "no cut",
      "--cut fines|coarse --at UM",
    );
  const answer = airClassificationAnswer(measurements, {
    cut,
    atUm,
    ...withoutUndefined({ sharpness, band }),
  });
  return { ...answer, problems: [...problems, ...answer.problems] };
}

/** The answer where a lot, or the band, could not be read. */
export function unmixed(
  problems: readonly Problem[],
  what = "the band",
): z.output<typeof shapes.blendAnswer> {
  return nothingOf(shapes.blendAnswer, {
    sentence: `No blend was calculated: ${what} cannot be read.`,
    problems,
  });
}

/** The answer where the band could not be read. */
export function unscalped(problems: readonly Problem[]): z.output<typeof shapes.scalpAnswer> {
  return nothingOf(shapes.scalpAnswer, {
    sentence: "Nothing was removed: the band cannot be read.",
    problems,
  });
}
