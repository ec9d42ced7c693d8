import { readingFlags } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import {
  askAgainst,
  askChain,
  askFactors,
  askHistory,
  askNextTrial,
  askParents,
} from "#api/queries/comparing.ts";
import { askStages } from "#api/queries/stages.ts";
import { type HistoryTable, readHistory } from "#distributions/tables/reading/readHistory.ts";
import { counted, figures } from "#model/words/wording.ts";
import { type Command, readFiles, textOf, type World } from "./command.ts";

export const against: Command = {
  summary: "powders compared with a reference, the nearest first, with the repeatability of the reference",
  usage: "REFERENCE FILE…",
  flags: [...readingFlags, ...flagsOf("against")],
  run(files, given, world) {
    if (files.length < 2 || files.length > 20)
      throw new UnusableInput(
        "against takes a reference and one to nineteen tables.",
        `${files.length} files`,
        "two to twenty files",
      );
    const tables = files.map((file) => ({ ...readFiles([file], given, world), name: file }));
    const body = askAgainst(tables);
    const lines = body.others.map(
      (o) =>
        `  ${o.name}: ${figures(o.shiftPercent)} % size shift, largest gap ${figures(o.maxGapPoints)} percentage points at ${figures(o.atUm)} µm, overlap ${figures(100 * o.overlap)} %`,
    );
    return { body, sentences: [body.sentence, ...lines], isNo: false };
  },
};

export const parents: Command = {
  summary: "a lot against the lots that it was split, blended or made from",
  usage: "LOT PARENT… [--shares 60,40] [--stage re-fired] [--taken milled] [--level 0.95]",
  flags: [...readingFlags, ...flagsOf("parents")],
  run(files, given, world) {
    if (files.length < 2 || files.length > 13)
      throw new UnusableInput(
        "parents takes a lot and one to twelve parents.",
        `${files.length} files`,
        "two to thirteen files",
      );
    const tables = files.map((file) => ({ ...readFiles([file], given, world), name: file }));
    const body = askParents(tables, given);
    return { body, sentences: [body.sentence], isNo: body.kind !== "made from" && body.agrees === false };
  },
};

export const history: Command = {
  summary: "control charts of results over lots, and the settings they correlate with",
  usage: "HISTORY.csv [--of d50Um,d90Um] [--factors firingC,excessPercent] [--level 0.95]",
  flags: flagsOf("history"),
  run(files, given, world) {
    const [file, ...more] = files;
    if (file === undefined || more.length > 0)
      throw new UnusableInput("history takes one table.", `${files.length} files`, "one file");
    const body = askHistory(readHistory(textOf(file, world), file), given);
    const effects = body.effects.map((e) => e.sentence);
    return { body, sentences: [...body.charts.map((c) => c.sentence), ...effects], isNo: false };
  },
};

/** The one table of a verb over lots. */
function historyIn(verb: string, files: readonly string[], world: World): HistoryTable {
  const [file, ...more] = files;
  if (file === undefined || more.length > 0)
    throw new UnusableInput(`${verb} takes one table.`, `${files.length} files`, "one file");
  return readHistory(textOf(file, world), file);
}

export const factors: Command = {
  summary: "which settings go with which results over lots, by how much, and whether the results drift",
  usage: "HISTORY.csv --factors firingC,excessPercent [--of d50Um,d90Um] [--level 0.95]",
  flags: flagsOf("factors"),
  run(files, given, world) {
    const body = askFactors(historyIn("factors", files, world), given);
    const sentences = [...body.effects.map((e) => e.sentence), ...body.charts.map((c) => c.sentence)];
    return { body, sentences, isNo: false };
  },
};

export const nextTrial: Command = {
  summary: "the next lot within limits: the one that tells most, and the one likeliest within its limits",
  usage:
    "HISTORY.csv --of d50Um --factors firingC,excessPercent [--within firingC=1550..1620] [--limits 3.1..3.3]",
  flags: flagsOf("next-trial"),
  run(files, given, world) {
    const body = askNextTrial(historyIn("next-trial", files, world), given);
    return { body, sentences: [body.sentence, ...body.cautions], isNo: false };
  },
};

export const chain: Command = {
  summary: "a lot to be made, through every step: sizes, chance in band, and where most doubt comes from",
  usage:
    "HISTORY.csv --steps fired,milled,re-fired [--settings fired:firingC,milled:speedRpm] [--at firingC=1600,speedRpm=6300] [--limits D50=3.1..3.3,D90=..6] [--level 0.9]",
  flags: flagsOf("chain"),
  run(files, given, world) {
    const body = askChain(historyIn("chain", files, world), given);
    const steps = body.steps.map(({ stage, sizes, lots }) => {
      const said = sizes.map(({ name, median, low, high }) => {
        return `${name} ${figures(median)} µm (${figures(low)}–${figures(high)})`;
      });
      return `  ${stage}: ${said.join(", ")}; ${counted(lots, "lot")}`;
    });
    return { body, sentences: [body.sentence, ...steps], isNo: false };
  },
};

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
