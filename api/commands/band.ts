import { readingFlags, textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askBand } from "#api/queries/bands.ts";
import { limitWords } from "#model/band/limits.ts";
import { figures } from "#model/words/wording.ts";
import { type Command, readFiles } from "./command.ts";

export const band: Command = {
  summary: "a target band around the runs of a reference powder, as BAND.json",
  usage:
    "--from REFERENCE.csv [--tolerance-percent 3] [--coverage 0.95] [--name TEXT] [--stage re-fired] [--density G_PER_CM3]",
  flags: [...readingFlags, ...flagsOf("band")],
  run(files, given, world) {
    const path = textOption(given, "from");
    if (path === undefined || files.length > 0)
      throw new UnusableInput(
        "band needs the runs of one reference powder, five or more: --from REFERENCE.csv.",
        files.join(", ") || "no reference",
        "--from REFERENCE.csv",
      );
    const body = askBand(readFiles([path], given, world), given);
    const lines = body.rows.map((row) => {
      const { name, unit } = limitWords(row);
      return `${name} ${figures(row.low ?? 0)}–${figures(row.high ?? 0)} ${unit}. ${row.source ?? ""}`.trim();
    });
    return { body, sentences: [body.source ?? "", ...lines], isNo: false };
  },
};
