import { readingFlags } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { askFines } from "#api/queries/powder.ts";
import { type Command, readFiles } from "./command.ts";

export const fines: Command = {
  summary: "inhalable, thoracic and respirable share of the bulk powder, for planning",
  usage: "FILE… --density G_PER_CM3 [--shape-factor 1] [--level 0.95]",
  flags: [...readingFlags, ...flagsOf("fines")],
  run(files, given, world) {
    const body = askFines(readFiles(files, given, world), given);
    return { body, sentences: [body.sentence, body.caution], isNo: false };
  },
};
