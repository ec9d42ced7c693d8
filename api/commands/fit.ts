import { readingFlags } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { askFit, fitRowsOf } from "#api/queries/powder.ts";
import { familyNames } from "#distributions/families/family.ts";
import { parametersOf } from "#distributions/families/parameters.ts";
import { counted, figures } from "#model/words/wording.ts";
import { type Command, readFiles } from "./command.ts";

export const fit: Command = {
  summary: "curves fitted to each measurement, ranked, with intervals over the runs",
  usage: `FILE… [--family ${familyNames.join("|")}|all] [--components 2|3] [--points edges|all|classes] [--as number|length|surface|volume] [--level 0.95] [--rows ndjson|csv]`,
  flags: [...readingFlags, ...flagsOf("fit")],
  rows: fitRowsOf,
  run(files, given, world) {
    const body = askFit(readFiles(files, given, world), given);
    const lines = body.fits.map((f) => {
      const parameters = parametersOf(f).map(({ name, value }) => `${name} ${figures(value)}`);
      return `${f.name}, ${f.family}: ${parameters.join(", ")}; misfit ${figures(f.rmsPoints)} percentage points, largest ${figures(f.maxGapPoints)}; ${f.status}.`;
    });
    const intervals = body.overRuns.flatMap(({ family, parameters }) => {
      const known = Object.entries(parameters).flatMap(([name, p]) =>
        p.value === null || p.low === null || p.high === null
          ? []
          : [`${name} ${figures(p.value)} (${figures(p.low)}–${figures(p.high)})`],
      );
      const runs = Object.values(parameters)[0]?.runs ?? 0;
      return known.length === 0 ? [] : [`Mean over ${counted(runs, "run")}, ${family}: ${known.join(", ")}.`];
    });
    return { body, sentences: [body.sentence, ...lines, ...intervals], isNo: false };
  },
};
