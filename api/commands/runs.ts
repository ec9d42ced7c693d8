import { readingFlags } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { askRuns } from "#api/queries/powder.ts";
import { type Command, readFiles } from "./command.ts";

export const runs: Command = {
  summary: "the repeatability of runs: scatter, outliers, trends, copies",
  usage: "FILE… [--limits iso-13320|usp-429] [--cv-limits 5,3,5] [--lots file|all]",
  flags: [...readingFlags, ...flagsOf("runs")],
  run(files, given, world) {
    const body = askRuns(readFiles(files, given, world), given);
    const sentences = body.lots.map((lot) => `${lot.file ?? "standard input"}: ${lot.sentence}`);
    return { body, sentences: [...sentences, `Limits: ${body.limits.source}.`], isNo: false };
  },
};
