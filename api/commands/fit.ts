import { figures } from "#model/answers/wording.ts";
import { askFit, verbFlags } from "../asking/questions.ts";
import { readingFlags } from "../asking/words.ts";
import { type Command, readFiles } from "./command.ts";

export const fit: Command = {
  summary: "log-normal and Rosin–Rammler curves fitted to each measurement",
  usage: "FILE… [--family log-normal|rosin-rammler|all]",
  flags: [...readingFlags, ...verbFlags.fit],
  run(files, given, world) {
    const body = askFit(readFiles(files, given, world), given);
    const lines = body.fits.map((f) => {
      const parameters = Object.entries(f.parameters).map(([name, value]) => `${name} ${figures(value)}`);
      return `${f.name}, ${f.family}: ${parameters.join(", ")}; misfit ${figures(f.rmsPoints)} points, largest ${figures(f.maxGapPoints)}; ${f.status}.`;
    });
    return { body, sentences: [body.sentence, ...lines], isNo: false };
  },
};
