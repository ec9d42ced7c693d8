import { nothingOf } from "#api/contract/nothing.ts";
import { type Given, numberOption, optionsOf } from "#api/contract/options.ts";
import * as shapes from "#api/contract/severalAnswers.ts";
import { verbs } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { withoutUndefined } from "#api/records/withoutUndefined.ts";
import type { Problem } from "#distributions/problem.ts";
import { type StageRuns, stagesAnswer } from "#model/answers/compare/stagesAnswer.ts";
import { stagesNamed } from "#model/lot/stages.ts";
import type { Answered } from "./powder.ts";

/** The stages in order, each what was read of one table. Names: as given, else a known stage in the file's name, else that name. */
export function askStages(tables: readonly (Answered & { readonly file: string | null })[], given: Given) {
  const { names: named, massesG, ...rest } = optionsOf(given, verbs.stages);
  const names = namesOf(
    tables.map((t) => t.file),
    named,
  );
  if (massesG !== undefined && massesG.length !== tables.length)
    throw new UnusableInput(
      `--masses takes one mass in grams per stage, ${tables.length} here; found ${massesG.length}.`,
      massesG.join(","),
      `${tables.length} masses`,
    );
  const read: readonly Problem[] = tables.flatMap((t) => t.problems);
  const stages = tables.map(
    (t, i): StageRuns => ({
      stage: names[i] ?? `stage ${i + 1}`,
      runs: t.measurements,
      massG: massesG?.[i],
    }),
  );
  if (stages.some(({ runs }) => runs.length === 0))
    return nothingOf(shapes.stagesAnswer, {
      sentence: "No step is described: a stage cannot be read.",
      problems: read,
    });
  const answer = stagesAnswer(stages, {
    ...rest,
    ...withoutUndefined({ densityGPerCm3: numberOption(given, "density") }),
  });
  return { ...answer, problems: [...read, ...answer.problems] };
}

function namesOf(files: readonly (string | null)[], option: string | undefined): string[] {
  const named = option?.split(",").map((name) => name.trim());
  if (named !== undefined && named.length !== files.length)
    throw new UnusableInput(
      `--names takes one name per stage, ${files.length} here; found ${named.length}.`,
      option ?? "",
      `${files.length} names`,
    );
  return files.map((file, i) => {
    const stem = (file ?? "").replace(/^.*[/\\]/, "").replace(/\.[^.]*$/, "");
    const known = stagesNamed([stem]);
    const own = stem === "" ? `stage ${i + 1}` : stem;
    return named?.[i] ?? (known.length === 1 ? known[0] : null) ?? own;
  });
}
