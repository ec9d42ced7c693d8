import { readingFlags } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askStages } from "#api/queries/stages.ts";
import { type Command, readFiles } from "./command.ts";

export const stages: Command = {
  summary: "the change in each process step, one table per stage in order",
  usage:
    "FILE FILE… [--names fired,milled,re-fired] [--below 0.5,1] [--masses 500,498,495] [--density G_PER_CM3] [--percentiles 10,50,90] [--level 0.95]",
  flags: [...readingFlags, ...flagsOf("stages")],
  run(files, given, world) {
    if (files.length < 2)
      throw new UnusableInput(
        "stages takes two or more tables, in the order of the process.",
        `${files.length} files`,
        "two files or more",
      );
    if (files.filter((f) => f === "-").length > 1)
      throw new UnusableInput("Standard input can be read only once.", "- twice", "- once");
    const tables = files.map((file) => ({ ...readFiles([file], given, world), file }));
    const body = askStages(tables, given);
    return { body, sentences: body.steps.length === 0 ? [body.sentence] : linesOf(body), isNo: false };
  },
};

/** A line a step, and what follows from all of them. */
function linesOf({ steps, sentence }: ReturnType<typeof askStages>): string[] {
  const entered = steps.map((s) => s.sentence);
  const rest = sentence.slice(entered.join(" ").length).trim();
  return rest === "" ? entered : [...entered, rest];
}
