import { readingFlags, textOption } from "#api/contract/options.ts";
import { flagsOf } from "#api/contract/verbs.ts";
import { UnusableInput } from "#api/faults.ts";
import { askAirClassification, askBlend } from "#api/queries/blends.ts";
import type { Band } from "#model/band/band.ts";
import { readBand } from "#model/band/bandFile.ts";
import { type Command, readFiles, textOf, type World } from "./command.ts";

export const blend: Command = {
  summary: "the blend of two lots or more with the widest margin to the limits of a band, or of given shares",
  usage: "A B [C…] --band BAND.json [--shares 60,40]",
  flags: [...readingFlags, ...flagsOf("blend")],
  run(files, given, world) {
    const path = textOption(given, "band");
    if (files.length < 2 || path === undefined)
      throw new UnusableInput(
        "blend takes two tables or more and a band: blend A B --band BAND.json.",
        `${files.length} files`,
        "two files or more, --band BAND.json",
      );
    const tables = files.map((file) => ({ ...readFiles([file], given, world), name: file }));
    const band = bandOf(path, world);
    const body = askBlend(tables, band, given);
    return { body, sentences: [body.sentence], isNo: body.isIn === false };
  },
};

export const scalp: Command = {
  summary: "the remaining powder after the fines or the coarse end of a lot is removed",
  usage: "FILE… --cut fines|coarse --at UM [--sharpness 0.6] [--band BAND.json]",
  flags: [...readingFlags, ...flagsOf("scalp")],
  run(files, given, world) {
    const path = textOption(given, "band");
    const band = path === undefined ? undefined : bandOf(path, world);
    const body = askAirClassification(readFiles(files, given, world), band, given);
    return { body, sentences: [body.sentence], isNo: body.isIn === false };
  },
};

/** The band of a file. @throws UnusableInput */
export function bandOf(path: string, world: World): Band {
  const { band, problems } = readBand(textOf(path, world), path);
  if (band === null)
    throw new UnusableInput(problems.map((p) => p.message).join(" "), path, "a band that can be read");
  return band;
}
