import { UnusableInput } from "#api/faults.ts";
import { askAirClassification, askBlend } from "#api/queries/blends.ts";
import { readingFlags, textOption } from "#api/queries/options.ts";
import { verbFlags } from "#api/queries/powder.ts";
import { readBand } from "#model/band/bandFile.ts";
import { type Command, readFiles, textOf, type World } from "./command.ts";

export const blend: Command = {
  summary: "the mix of two lots or more with the most room inside a band",
  usage: "A B [C…] --band BAND.json",
  flags: [...readingFlags, ...verbFlags.blend],
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
    const body = askBlend(tables, band);
    return { body, sentences: [body.sentence], isNo: body.isIn === false };
  },
};

export const scalp: Command = {
  summary: "what is left of a lot after its fines or its coarse end is cut off",
  usage: "FILE… --cut fines|coarse --at UM [--sharpness 0.6] [--band BAND.json]",
  flags: [...readingFlags, ...verbFlags.scalp],
  run(files, given, world) {
    const path = textOption(given, "band");
    const band = path === undefined ? undefined : bandOf(path, world);
    const body = askAirClassification(readFiles(files, given, world), band, given);
    return { body, sentences: [body.sentence], isNo: body.isIn === false };
  },
};

function bandOf(path: string, world: World) {
  const { band, problems } = readBand(textOf(path, world), path);
  if (band === null)
    throw new UnusableInput(problems.map((p) => p.message).join(" "), path, "a band that can be read");
  return band;
}
