import { readingFlags, textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { askSurface } from "#api/queries/powder.ts";
import { readPairs } from "#model/surface/readPairs.ts";
import { type Command, readFiles, textOf } from "./command.ts";

export const surface: Command = {
  summary: "geometric area, the sizes that carry it, and the predicted BET area",
  usage:
    "FILE… --density G_PER_CM3 [--pairs PAIRS.csv --stage STAGE] [--level 0.95] [--bet-low M2_PER_G] [--bet-high M2_PER_G] [--bet-found M2_PER_G] [--instrument TEXT] [--optics TEXT] [--dopant-class TEXT]",
  flags: [...readingFlags, ...flagsOf("surface")],
  run(files, given, world) {
    const path = textOption(given, "pairs");
    const asked = readFiles(files, given, world);
    const read = path === undefined ? null : readPairs(textOf(path, world), path);
    const body = askSurface(
      { ...asked, problems: [...asked.problems, ...(read?.problems ?? [])] },
      read?.pairs,
      given,
    );
    return { body, sentences: [body.sentence], isNo: false };
  },
};
