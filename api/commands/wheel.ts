import { cautionsFor } from "#model/mill/cautions.ts";
import { readMill } from "#model/mill/mill.ts";
import { readTrials } from "#model/mill/trials/trial.ts";
import { askWheel, verbFlags } from "../asking/questions.ts";
import { textOption, UnusableInput } from "../asking/words.ts";
import { type Command, textOf } from "./command.ts";

export const wheel: Command = {
  summary: "where the classifier wheel cuts, the D50 to expect, and the speed for a target D50",
  usage:
    "--mill MILL.json [--trials TRIALS.csv] [--speed RPM] [--flow M3_PER_H] [--feed KG_PER_H] [--target-d50 UM] [--level 0.9]",
  flags: verbFlags.wheel,
  run(files, given, world) {
    if (files.length > 0)
      throw new UnusableInput(
        `wheel takes no table; found ${files.join(", ")}. Give the trials with --trials.`,
        files.join(", "),
        "options only",
      );
    const millPath = textOption(given, "mill");
    if (millPath === undefined)
      throw new UnusableInput("wheel needs a mill: --mill MILL.json.", "no mill", "--mill MILL.json");
    const trialsPath = textOption(given, "trials");
    if (millPath === "-" && trialsPath === "-")
      throw new UnusableInput("Standard input can be read only once.", "- twice", "- once");
    const { mill, problems } = readMill(textOf(millPath, world), millPath);
    const read =
      trialsPath === undefined
        ? { trials: [], problems: [] }
        : readTrials(textOf(trialsPath, world), trialsPath);
    const all = [...problems, ...read.problems];
    if (mill === null) {
      const body = {
        cutUm: null,
        stokesCutUm: null,
        tipSpeedMPerS: null,
        d50Um: null,
        speedRpm: null,
        basis: null,
        warnings: [],
        refused: [],
        sentence: "Nothing was computed: the mill could not be read.",
        problems: all,
      };
      return { body, sentences: [body.sentence], isNo: false };
    }
    const body = askWheel(mill, read.trials, all, given);
    return {
      body,
      sentences: [body.sentence, ...body.warnings, ...cautionsFor(mill).slice(0, 1)],
      isNo: body.refused.length > 0,
    };
  },
};
