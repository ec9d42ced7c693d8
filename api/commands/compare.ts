import { readingFlags } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askCompare } from "#api/queries/powder.ts";
import { type Command, readFiles } from "./command.ts";

export const compare: Command = {
  summary: "the change from A to B, each the mean of its measurements",
  usage: "A B [--below 0.5,1]",
  flags: [...readingFlags, ...flagsOf("compare")],
  run(files, given, world) {
    const [a, b, ...more] = files;
    if (a === undefined || b === undefined || more.length > 0)
      throw new UnusableInput("compare takes two tables, A and B.", `${files.length} files`, "two files");
    if (a === "-" && b === "-")
      throw new UnusableInput("Standard input can be read only once.", "- twice", "- once");
    const body = askCompare(readFiles([a], given, world), readFiles([b], given, world), given);
    return { body, sentences: [body.sentence], isNo: false };
  },
};
