import { UnusableInput } from "#api/faults.ts";
import { readingFlags, textOption } from "#api/queries/options.ts";
import { askCheck, verbFlags } from "#api/queries/powder.ts";
import { readBand } from "#model/band/bandFile.ts";
import { limitWords, statisticText } from "#model/band/limits.ts";
import { figures } from "#model/words/wording.ts";
import { type Command, readFiles, textOf } from "./command.ts";

export const check: Command = {
  summary: "the verdict on a lot against a target band; all measurements are runs of the lot",
  usage: "FILE… --band BAND.json [--stage STAGE] [--rule simple|two-sided|guarded]",
  flags: [...readingFlags, ...verbFlags.check],
  run(files, given, world) {
    const path = textOption(given, "band");
    if (path === undefined)
      throw new UnusableInput("check needs a band: --band BAND.json.", "no band", "--band BAND.json");
    const asked = readFiles(files, given, world);
    const { band, problems } = readBand(textOf(path, world), path);
    if (band === null) {
      const body = {
        verdict: null,
        gap: null,
        rule: null,
        runs: asked.measurements.length,
        rows: [],
        outside: [],
        rescue: null,
        sentence: "The lot was not checked: the band cannot be read.",
        problems: [...asked.problems, ...problems],
      };
      return { body, sentences: [body.sentence], isNo: false };
    }
    const body = askCheck({ ...asked, problems: [...asked.problems, ...problems] }, band, given);
    const lines = (body.rows ?? []).map((row) => {
      const { name, unit, factor } = limitWords(row);
      const show = (v: number | null) => (v === null ? "–" : figures(v * factor));
      const where = body.gap === null ? row.verdict : `${row.verdict} as measured`;
      return `  ${`${name} ${show(row.value)} ${unit}`.trim()}, limits ${statisticText(row, show)}: ${where}`;
    });
    const rescue = body.rescue === null ? [] : [body.rescue.sentence];
    return {
      body,
      sentences: [body.sentence ?? "", ...lines, ...rescue],
      isNo: body.verdict !== "in band" || body.gap !== null,
    };
  },
};
